package org.kerftally.daemon.station;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;

/**
 * Describes the job being cut: what is made, what lies in the saw, what lies ahead.
 *
 * @param order the job order
 * @param ahead the sticks still to be loaded, in order, equal ones counted by {@code repeat}
 * @param loaded how many sticks were loaded so far
 * @param stick the stick in the saw, or {@code null}
 * @param made how many good ones of each part are made
 * @param foreseen what the present plan cannot make
 * @param replanWanted whether the present plan is void
 * @param replanNumber how many new plans were wanted so far
 * @param replanReason why the last one was wanted, or the empty text
 */
public record JobRun(
    JobOrder order,
    List<PlannedSticks> ahead,
    int loaded,
    @Nullable StickInSaw stick,
    Map<PartKey, Integer> made,
    List<Shortage> foreseen,
    boolean replanWanted,
    int replanNumber,
    String replanReason) {

  /** Copies the collections. */
  public JobRun {
    ahead = List.copyOf(ahead);
    made = Map.copyOf(made);
    foreseen = List.copyOf(foreseen);
  }

  /** Returns the parts still to be made, with the quantities missing; in the order of the job. */
  List<Part> missing() {
    Map<PartKey, Integer> over = new LinkedHashMap<>(made);
    List<Part> missing = new ArrayList<>();
    for (Part part : order.parts()) {
      PartKey key = new PartKey(part.material(), part.name(), part.length());
      int have = over.getOrDefault(key, 0);
      int used = Math.min(have, part.quantity());
      over.put(key, have - used);
      int gap = part.quantity() - used;
      if (gap > 0) {
        missing.add(part.withQuantity(gap));
      }
    }
    return missing;
  }

  /** Returns how many pieces are still to be made. */
  int missingCount() {
    return missing().stream().mapToInt(Part::quantity).sum();
  }

  /** Returns how many pieces the present plan cannot make. */
  int foreseenCount() {
    return foreseen.stream().mapToInt(Shortage::missing).sum();
  }

  JobRun withStick(@Nullable StickInSaw next) {
    return new JobRun(
        order, ahead, loaded, next, made, foreseen, replanWanted, replanNumber, replanReason);
  }

  JobRun withMade(PartKey key, int change) {
    Map<PartKey, Integer> counts = new LinkedHashMap<>(made);
    counts.merge(key, change, Integer::sum);
    return new JobRun(
        order, ahead, loaded, stick, counts, foreseen, replanWanted, replanNumber, replanReason);
  }

  JobRun wantingPlan(String reason) {
    return new JobRun(order, ahead, loaded, stick, made, foreseen, true, replanNumber + 1, reason);
  }

  JobRun withPlan(List<PlannedSticks> sticks, List<Shortage> shortages) {
    return new JobRun(
        order, sticks, loaded, stick, made, shortages, false, replanNumber, replanReason);
  }

  /** Takes the next stick from those ahead and puts it in the saw. */
  JobRun loading(StickInSaw next) {
    List<PlannedSticks> rest = new ArrayList<>(ahead);
    if (!rest.isEmpty()) {
      PlannedSticks first = rest.remove(0);
      if (first.repeat() > 1) {
        rest.add(0, first.afterFirst());
      }
    }
    return new JobRun(
        order, rest, loaded + 1, next, made, foreseen, replanWanted, replanNumber, replanReason);
  }
}
