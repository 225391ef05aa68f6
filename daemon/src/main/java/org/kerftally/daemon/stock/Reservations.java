package org.kerftally.daemon.stock;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;

/**
 * Holds which planned sticks are not loaded yet, job by job. Immutable.
 *
 * @param byJob the sticks by job id
 */
record Reservations(Map<String, List<PlannedSticks>> byJob) {

  static final Reservations NONE = new Reservations(Map.of());

  /** Returns these with a job's plan in place of what the job had. */
  Reservations with(String job, CutPlan plan) {
    Map<String, List<PlannedSticks>> next = new LinkedHashMap<>(byJob);
    next.put(job, plan.sticks().stream().filter(s -> s.kind() != StickKind.IN_SAW).toList());
    return new Reservations(next);
  }

  /** Returns these without a job. */
  Reservations without(String job) {
    if (!byJob.containsKey(job)) {
      return this;
    }
    Map<String, List<PlannedSticks>> next = new LinkedHashMap<>(byJob);
    next.remove(job);
    return new Reservations(next);
  }

  /** Returns these with one stick of a job's plan loaded; a stick off the plan changes nothing. */
  Reservations loaded(String job, PlannedSticks stick) {
    List<PlannedSticks> planned = byJob.getOrDefault(job, List.of());
    int at = indexOf(planned, stick);
    if (at < 0) {
      return this;
    }
    List<PlannedSticks> rest = new ArrayList<>(planned);
    PlannedSticks line = rest.get(at);
    if (line.repeat() > 1) {
      rest.set(at, line.repeated(line.repeat() - 1));
    } else {
      rest.remove(at);
    }
    Map<String, List<PlannedSticks>> next = new LinkedHashMap<>(byJob);
    next.put(job, List.copyOf(rest));
    return new Reservations(next);
  }

  /** The line that was meant: cut alike if there is one, else any of the same sort. */
  private static int indexOf(List<PlannedSticks> planned, PlannedSticks stick) {
    int sameSort = -1;
    for (int i = 0; i < planned.size(); i++) {
      PlannedSticks line = planned.get(i);
      if (line.single().equals(stick.single())) {
        return i;
      }
      boolean same =
          line.material().equals(stick.material())
              && line.length().equals(stick.length())
              && line.kind() == stick.kind()
              && Objects.equals(line.label(), stick.label());
      if (same && sameSort < 0) {
        sameSort = i;
      }
    }
    return sameSort;
  }

  /** Takes everything reserved by other jobs than this one from the rack. */
  void takeFrom(Rack rack, @Nullable String exceptJob) {
    byJob.forEach(
        (job, sticks) -> {
          if (!job.equals(exceptJob)) {
            sticks.forEach(rack::take);
          }
        });
  }
}
