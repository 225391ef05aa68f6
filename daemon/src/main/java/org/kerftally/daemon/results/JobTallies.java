package org.kerftally.daemon.results;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.DefectFound;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.JobUnqueued;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;

/**
 * Keeps the tally of every job by folding the cut log.
 *
 * <p>Jobs that are waiting or running are all kept; of those that are finished the newest, so that
 * a service that runs for years does not grow. A job that was let go is unknown from then on, and
 * events about it change nothing. Not safe for several threads: one owner folds and reads.
 */
public final class JobTallies {

  /** How many finished jobs are kept: some weeks of a small workshop. */
  public static final int DEFAULT_MAX_FINISHED = 250;

  private final int maxFinished;
  private final Map<String, JobTally> byJob = new LinkedHashMap<>();
  private final Map<String, String> runningAt = new HashMap<>();

  /** Jobs that ended while a fault stood: they are told when it is over. */
  private final Set<String> endedInFault = new LinkedHashSet<>();

  /** Starts with no job and keeps the usual number of finished ones. */
  public JobTallies() {
    this(DEFAULT_MAX_FINISHED);
  }

  /**
   * Starts with no job.
   *
   * @param maxFinished how many finished jobs are kept, at least 1
   */
  public JobTallies(int maxFinished) {
    this.maxFinished = Math.max(1, maxFinished);
  }

  /** Returns the job's tally, nothing when it is unknown or was let go. */
  public Optional<JobTally> get(String job) {
    return Optional.ofNullable(byJob.get(job));
  }

  /** Returns all tallies kept, in the order the jobs were taken. */
  public List<JobTally> all() {
    return List.copyOf(byJob.values());
  }

  /** Returns the job being cut at a station, if any. */
  public Optional<JobTally> running(String station) {
    return Optional.ofNullable(runningAt.get(station)).flatMap(this::get);
  }

  /**
   * Folds an event.
   *
   * <p>It may concern several jobs: the end of a fault also those that ended while it stood.
   *
   * @return the tallies it changed, as they are now; none when it concerns no job that is kept
   */
  public List<JobTally> apply(Recorded recorded) {
    List<JobTally> changed = new ArrayList<>(endOfFault(recorded));
    applyToOne(recorded).ifPresent(changed::add);
    return changed;
  }

  private List<JobTally> endOfFault(Recorded recorded) {
    Event event = recorded.event();
    if (endedInFault.isEmpty() || !(event instanceof FaultCleared || event instanceof LinkUp)) {
      return List.of();
    }
    List<JobTally> changed = new ArrayList<>();
    for (String job : List.copyOf(endedInFault)) {
      JobTally before = byJob.get(job);
      if (before == null || !before.status().finished()) {
        endedInFault.remove(job);
      } else if (before.station().equals(recorded.station())) {
        JobTally after = TallyFold.apply(before, recorded);
        byJob.put(job, after);
        if (!after.equals(before)) {
          changed.add(after);
        }
        if (!after.incidents().oneStands()) {
          endedInFault.remove(job);
        }
      }
    }
    return changed;
  }

  private Optional<JobTally> applyToOne(Recorded recorded) {
    Event event = recorded.event();
    JobTally before;
    JobTally after;
    if (event instanceof JobTaken e) {
      before = null;
      after = TallyFold.taken(recorded, e.order(), e.station(), e.plan());
    } else {
      String job = jobOf(recorded);
      before = job == null ? null : byJob.get(job);
      if (before != null) {
        after = TallyFold.apply(before, recorded);
      } else if (event instanceof JobQueued e && recorded.station() != null) {
        after = TallyFold.taken(recorded, e.order(), recorded.station(), e.plan());
      } else {
        return Optional.empty();
      }
    }
    followRun(recorded);
    if (after.equals(before)) {
      return Optional.empty();
    }
    byJob.put(after.id(), after);
    if (after.status().finished()) {
      if (after.incidents().oneStands()) {
        endedInFault.add(after.id());
      }
      letGo();
    }
    return Optional.of(after);
  }

  private void followRun(Recorded recorded) {
    String station = recorded.station();
    if (station == null) {
      return;
    }
    if (recorded.event() instanceof JobStarted e) {
      runningAt.put(station, e.job());
    } else if (recorded.event() instanceof JobReopened e) {
      runningAt.put(station, e.job());
    } else if (recorded.event() instanceof JobEnded) {
      runningAt.remove(station);
    }
  }

  private @Nullable String jobOf(Recorded recorded) {
    Event event = recorded.event();
    String here = recorded.station() == null ? null : runningAt.get(recorded.station());
    if (event instanceof CutBooked e) {
      return e.job() == null ? here : e.job();
    } else if (event instanceof DefectFound
        || event instanceof FaultRaised
        || event instanceof FaultCleared
        || event instanceof LinkDown
        || event instanceof LinkUp) {
      return here;
    } else if (event instanceof StickLoaded e) {
      return e.job();
    } else if (event instanceof StickDone e) {
      return e.job();
    } else if (event instanceof PieceRemained e) {
      return e.job();
    } else if (event instanceof PieceRejected e) {
      return e.job();
    } else if (event instanceof Replanned e) {
      return e.job();
    }
    return jobOfOrder(event);
  }

  private static @Nullable String jobOfOrder(Event event) {
    if (event instanceof JobQueued e) {
      return e.order().id();
    } else if (event instanceof JobUnqueued e) {
      return e.job();
    } else if (event instanceof JobStarted e) {
      return e.job();
    } else if (event instanceof JobEnded e) {
      return e.job();
    } else if (event instanceof JobReopened e) {
      return e.job();
    } else if (event instanceof JobWithdrawn e) {
      return e.job();
    }
    return null;
  }

  private void letGo() {
    List<String> finished = new ArrayList<>();
    for (JobTally tally : byJob.values()) {
      if (tally.status().finished()) {
        finished.add(tally.id());
      }
    }
    for (int i = 0; i < finished.size() - maxFinished; i++) {
      byJob.remove(finished.get(i));
      endedInFault.remove(finished.get(i));
    }
  }
}
