package org.kerftally.daemon.results;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.LoggedFault;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.DefectFound;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.Offcut;

/**
 * Folds the events that concern one job into its tally. Pure: no clock, no configuration.
 *
 * <p>Which job a saw cycle concerns is told by {@link JobTallies}: its own, or, for a cycle that
 * belongs to none, the one being cut at the station.
 */
final class TallyFold {

  private TallyFold() {}

  /** Returns the tally of a job that was just taken. */
  static JobTally taken(Recorded recorded, JobOrder order, String station, CutPlan plan) {
    List<PartCount> lines =
        order.parts().stream().map(part -> new PartCount(part, 0, 0, 0)).toList();
    return new JobTally(
        order,
        station,
        JobStatus.WAITING,
        plan,
        plan,
        0,
        null,
        missing(lines, plan.shortages()),
        StickUse.NONE,
        Incidents.NONE,
        recorded.at(),
        null,
        null,
        -1);
  }

  /** Returns the tally after the event; the same tally when the event does not change it. */
  static JobTally apply(JobTally tally, Recorded recorded) {
    Event event = recorded.event();
    if (event instanceof JobQueued e) {
      String station = Objects.requireNonNullElse(recorded.station(), tally.station());
      return tally.queuedAt(station, e.plan()).with(missing(tally.parts(), e.plan().shortages()));
    } else if (event instanceof JobStarted) {
      return tally.with(
          JobStatus.RUNNING, tally.startedAt() == null ? recorded.at() : tally.startedAt(), null);
    } else if (event instanceof Replanned e) {
      return tally
          .replanned(e.plan(), e.reason())
          .with(missing(tally.parts(), e.plan().shortages()));
    } else if (event instanceof JobEnded e) {
      JobStatus status = e.shortages().isEmpty() ? JobStatus.COMPLETE : JobStatus.SHORT;
      return tally
          .with(missing(tally.parts(), e.shortages()))
          .with(status, tally.startedAt(), recorded.at());
    } else if (event instanceof JobReopened) {
      return tally
          .with(missing(tally.parts(), tally.plan().shortages()))
          .with(JobStatus.RUNNING, tally.startedAt(), null);
    } else if (event instanceof JobWithdrawn) {
      return tally.with(JobStatus.WITHDRAWN, tally.startedAt(), recorded.at());
    } else if (event instanceof FaultRaised e) {
      return tally.with(tally.incidents().raised(e.code(), e.text(), recorded.at()));
    } else if (event instanceof FaultCleared e) {
      return tally.with(tally.incidents().cleared(e.code(), recorded.at()));
    } else if (event instanceof LinkDown e) {
      String text = LoggedFault.linkDownText(e.reason());
      return tally.with(tally.incidents().linkDown(text, recorded.at()));
    } else if (event instanceof LinkUp) {
      return tally.with(tally.incidents().cleared(LoggedFault.LINK_DOWN, recorded.at()));
    } else if (event instanceof CutBooked e) {
      return book(tally, e, recorded.at());
    }
    return applyToStick(tally, event);
  }

  private static JobTally applyToStick(JobTally tally, Event event) {
    StickUse sticks = tally.sticks();
    if (event instanceof StickLoaded e) {
      return tally.with(sticks.load(e.length(), e.planned().material()));
    } else if (event instanceof StickDone e) {
      Offcut offcut = e.offcut();
      StickUse done = sticks.leaving(Length.ZERO);
      return tally.with(offcut == null ? done : done.keeping(offcut.length()));
    } else if (event instanceof PieceRemained e) {
      return made(tally.with(sticks.leaving(Length.ZERO)), e.part(), e.length());
    } else if (event instanceof PieceRejected e) {
      return reject(tally, e);
    } else if (event instanceof DefectFound e) {
      return tally.with(sticks.leaving(sticks.inSaw().min(e.sound())));
    }
    return tally;
  }

  private static JobTally book(JobTally tally, CutBooked cut, Instant at) {
    JobTally left = cut.left() == null ? tally : tally.with(tally.sticks().leaving(cut.left()));
    return switch (cut.kind()) {
      case PART ->
          made(left, Objects.requireNonNull(cut.part()), Objects.requireNonNull(cut.wanted()));
      case SUSPECT -> left.with(left.incidents().withSuspect(text(cut), at));
      case UNATTRIBUTED -> left.with(left.incidents().withUnattributed(text(cut), at));
      case TRIM, REJECTED -> left;
    };
  }

  private static String text(CutBooked cut) {
    String remark = cut.remark() == null ? "" : ": " + cut.remark();
    return "Saw cycle " + cut.count() + " of " + cut.boot() + remark;
  }

  private static JobTally made(JobTally tally, String name, Length length) {
    int line = lineToFill(tally.parts(), tally.sticks().material(), name, length);
    if (line < 0) {
      return tally;
    }
    return tally.with(
        replace(tally.parts(), line, tally.parts().get(line).withMade(1)),
        tally.sticks().withGood(length),
        line);
  }

  /**
   * Takes a piece back. A job that has ended misses it from then on; when it is reopened for it,
   * that is told next.
   */
  private static JobTally reject(JobTally tally, PieceRejected rejected) {
    int line = tally.lastMade();
    if (line < 0 || !tally.parts().get(line).part().name().equals(rejected.part())) {
      return tally;
    }
    boolean ended = tally.status().finished();
    PartCount count = tally.parts().get(line).withRejected();
    JobTally without =
        tally.with(
            replace(tally.parts(), line, ended ? count.withMissing(count.missing() + 1) : count),
            tally.sticks().withGood(Length.ZERO.minus(count.part().length())),
            -1);
    return ended ? without.with(JobStatus.SHORT, tally.startedAt(), tally.endedAt()) : without;
  }

  /**
   * Finds the line that a piece counts for: the first one of its material, name and length that is
   * not full, else the last such. A line without a material matches any.
   */
  private static int lineToFill(
      List<PartCount> lines, String material, String name, Length length) {
    int found = -1;
    for (int i = 0; i < lines.size(); i++) {
      Part part = lines.get(i).part();
      boolean matches =
          part.name().equals(name)
              && part.length().equals(length)
              && (part.material().equals(material)
                  || part.material().isEmpty()
                  || material.isEmpty());
      if (matches) {
        found = i;
        if (lines.get(i).made() < lines.get(i).wanted()) {
          return i;
        }
      }
    }
    return found;
  }

  private record Key(String part, String material, Length length) {}

  private static List<PartCount> missing(List<PartCount> lines, List<Shortage> shortages) {
    Map<Key, Integer> left = new LinkedHashMap<>();
    for (Shortage s : shortages) {
      left.merge(new Key(s.part(), s.material(), s.length()), s.missing(), Integer::sum);
    }
    List<PartCount> result = new ArrayList<>(lines);
    // From the end: of lines alike the later one is the one that stays short.
    for (int i = lines.size() - 1; i >= 0; i--) {
      PartCount line = lines.get(i);
      Key key = new Key(line.part().name(), line.part().material(), line.part().length());
      int open = Math.max(0, line.wanted() - line.made());
      int taken = Math.min(open, left.getOrDefault(key, 0));
      left.merge(key, -taken, Integer::sum);
      result.set(i, line.withMissing(taken));
    }
    return result;
  }

  private static List<PartCount> replace(List<PartCount> lines, int at, @Nullable PartCount by) {
    List<PartCount> result = new ArrayList<>(lines);
    result.set(at, Objects.requireNonNull(by));
    return result;
  }
}
