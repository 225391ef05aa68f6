package org.kerftally.daemon.station;

import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationState.Change;
import org.kerftally.daemon.station.StationState.Counted;
import org.kerftally.daemon.station.StationState.MadePart;
import org.kerftally.daemon.station.StationState.OpenMove;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;

/** Folds what happens to the job being cut: sticks in, pieces out, plans replaced. */
final class Runs {

  private Runs() {}

  static JobRun start(JobQueued queued) {
    return new JobRun(
        queued.order(),
        queued.plan().sticks(),
        0,
        null,
        Map.of(),
        queued.plan().shortages(),
        false,
        0,
        "");
  }

  /** Puts a new plan in place; what it cuts from the stick in the saw becomes that stick's cuts. */
  static JobRun replan(JobRun run, CutPlan plan) {
    List<PlannedSticks> ahead =
        plan.sticks().stream().filter(s -> s.kind() != StickKind.IN_SAW).toList();
    JobRun planned = run.withPlan(ahead, plan.shortages());
    StickInSaw stick = run.stick();
    if (stick == null) {
      return planned;
    }
    List<Cut> fromStick =
        plan.sticks().stream()
            .filter(s -> s.kind() == StickKind.IN_SAW)
            .findFirst()
            .map(PlannedSticks::cuts)
            .orElse(List.of());
    return planned.withStick(stick.withCuts(fromStick));
  }

  static JobRun load(JobRun run, StickLoaded e) {
    boolean squared = !e.planned().leadTrim().isPositive();
    return run.loading(
        new StickInSaw(e.stick(), e.planned(), squared, e.length(), e.planned().cuts(), null));
  }

  static void book(Change s, CutBooked e) {
    s.counted = new Counted(e.boot(), e.count());
    OpenMove move = s.moveOf(e.seq());
    if (move != null) {
      s.move = move.ended();
    }
    boolean isMade = e.kind() == CutKind.PART || e.kind() == CutKind.TRIM;
    if (e.kind() != CutKind.UNATTRIBUTED) {
      s.cutAt = isMade ? e.position() : null;
    }
    boolean onTarget = s.target != null && s.target.set().seq() == e.seq() && e.seq() != 0;
    boolean onDropped = s.dropped != null && s.dropped.set().seq() == e.seq() && e.seq() != 0;
    if (onTarget) {
      s.target = null;
      s.misses = 0;
    }
    if (onDropped) {
      s.dropped = null;
    }
    JobRun run = s.run;
    Length left = e.left();
    if (e.kind() != CutKind.UNATTRIBUTED) {
      s.lastMade = null;
    }
    if (run == null || run.stick() == null || left == null) {
      return;
    }
    StickInSaw stick = run.stick();
    if (e.part() == null && move == null) {
      s.run = run.withStick(stick.squaredTo(left, e.position()));
    } else if (e.kind() == CutKind.PART) {
      PartKey key = key(stick, e.part(), Objects.requireNonNull(e.wanted()));
      s.run = run.withStick(stick.leaving(left, e.position()).withoutFirstCut()).withMade(key, 1);
      s.lastMade = new MadePart(e.boot(), e.count(), run.order().id(), key);
    } else {
      s.run = run.withStick(stick.leaving(left, e.position()));
    }
  }

  static void remain(Change s, PieceRemained e) {
    JobRun run = Objects.requireNonNull(s.run, "no job is being cut");
    StickInSaw stick = Objects.requireNonNull(run.stick(), "no stick is in the saw");
    PartKey key = key(stick, e.part(), e.length());
    StickInSaw empty = stick.leaving(Length.ZERO, stick.lastPosition()).withoutFirstCut();
    s.run = run.withStick(empty).withMade(key, 1);
    s.lastMade = new MadePart(null, 0, run.order().id(), key);
  }

  /** Takes up a job again that had ended. */
  static void reopen(Change s, String job) {
    JobRun ended = s.ended;
    if (ended != null && ended.order().id().equals(job)) {
      s.run = ended;
      s.ended = null;
      return;
    }
    JobRun owed =
        s.owed.stream()
            .filter(run -> run.order().id().equals(job))
            .findFirst()
            .orElseThrow(() -> new IllegalStateException("no job to reopen: " + job));
    s.owed.remove(owed);
    s.run = owed;
  }

  static void reject(Change s) {
    MadePart last = Objects.requireNonNull(s.lastMade, "no part to reject");
    JobRun run = s.run;
    JobRun ended = s.ended;
    if (run != null && run.order().id().equals(last.job())) {
      s.run = run.withMade(last.key(), -1);
    } else if (ended != null && ended.order().id().equals(last.job())) {
      JobRun owing = ended.withMade(last.key(), -1);
      if (run == null) {
        s.ended = owing;
      } else {
        s.ended = null;
        s.owed.add(owing);
      }
    }
    s.lastMade = null;
  }

  private static PartKey key(StickInSaw stick, @Nullable String part, Length length) {
    return new PartKey(stick.planned().material(), Objects.requireNonNull(part), length);
  }
}
