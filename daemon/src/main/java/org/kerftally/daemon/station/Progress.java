package org.kerftally.daemon.station;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.ReplanWanted;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Carries the work as far as it goes without the operator or the device: ends what is done, starts
 * what waits, asks for plans, and sets the next target when, and only when, every permit is there.
 */
final class Progress {

  private Progress() {}

  static void goOn(Turn turn) {
    if (!turn.state().driven() || !turn.state().linkUp()) {
      return;
    }
    Targets.expire(turn);
    Moves.settle(turn);
    boolean moved = true;
    while (moved) {
      moved = closeStick(turn) || closeJob(turn) || startJob(turn) || assumeStick(turn);
    }
    askPlan(turn);
    setTarget(turn);
  }

  /** Tells whether the work waits for a stick to be put in the saw. */
  static boolean waitsForStick(Turn turn) {
    JobRun run = turn.state().run();
    return run != null
        && run.stick() == null
        && !run.replanWanted()
        && !run.ahead().isEmpty()
        && turn.state().armed();
  }

  /** Puts the next planned stick in the saw, in its measured length where there is one. */
  static void load(Turn turn, @Nullable Length measured, long presses) {
    JobRun run = turn.run();
    PlannedSticks next = run.ahead().get(0).single();
    Length length = measured == null || !measured.isPositive() ? next.length() : measured;
    turn.say(new StickLoaded(run.order().id(), run.loaded() + 1, next, length, presses));
  }

  private static boolean fits(StationRules station, StickInSaw stick) {
    CutRules rules = station.rulesFor(stick.planned().material());
    Length rest = stick.usable();
    for (Cut cut : stick.cuts()) {
      rest = rest.minus(cut.length()).minus(rules.kerf());
    }
    return rules.fits(rest);
  }

  private static boolean closeStick(Turn turn) {
    JobRun run = turn.state().run();
    StickInSaw stick = run == null ? null : run.stick();
    if (run == null || stick == null || turn.state().target() != null) {
      return false;
    }
    CutRules rules = turn.rules.rulesFor(stick.planned().material());
    if (stick.cuts().isEmpty() && !run.replanWanted()) {
      boolean keep = rules.worthKeeping(stick.left());
      String label = turn.rules.name() + "-" + (turn.state().offcuts() + 1);
      Offcut offcut =
          keep
              ? new Offcut(label, stick.planned().material(), stick.left(), run.order().id())
              : null;
      turn.say(new StickDone(run.order().id(), stick.number(), stick.left(), offcut));
      return true;
    }
    if (!run.replanWanted() && !stick.cuts().isEmpty() && !fits(turn.rules, stick)) {
      turn.say(
          new ReplanWanted(
              run.order().id(),
              "the stick holds " + stick.usable() + " now, less than was planned from it"));
      return true;
    }
    if (!run.replanWanted()
        && stick.squared()
        && stick.cuts().size() == 1
        && stick.left().equals(stick.cuts().get(0).length())) {
      Cut last = stick.cuts().get(0);
      turn.say(new PieceRemained(run.order().id(), last.part(), stick.number(), last.length()));
      return true;
    }
    return false;
  }

  private static boolean closeJob(Turn turn) {
    JobRun run = turn.state().run();
    if (run == null || run.stick() != null || run.replanWanted() || turn.state().target() != null) {
      return false;
    }
    List<Part> missing = run.missing();
    if (missing.isEmpty() || (run.ahead().isEmpty() && run.missingCount() <= run.foreseenCount())) {
      List<Shortage> shortages =
          missing.stream()
              .map(p -> new Shortage(p.name(), p.material(), p.length(), p.quantity()))
              .toList();
      turn.say(new JobEnded(run.order().id(), shortages));
      return true;
    }
    if (run.ahead().isEmpty()) {
      turn.say(new ReplanWanted(run.order().id(), "pieces are missing at the end of the plan"));
    }
    return false;
  }

  private static boolean startJob(Turn turn) {
    StationState state = turn.state();
    if (state.run() != null || !state.armed() || state.paused()) {
      return false;
    }
    if (!state.owed().isEmpty()) {
      String job = state.owed().get(0).order().id();
      turn.say(new JobReopened(job));
      turn.say(new ReplanWanted(job, "its last piece was rejected"));
      return true;
    }
    if (state.queue().isEmpty()) {
      return false;
    }
    String job = next(state).map(q -> q.order().id()).orElseThrow();
    turn.say(new JobStarted(job));
    if (turn.run().foreseenCount() > 0) {
      turn.say(new ReplanWanted(job, "some parts were short of stock when it was taken"));
    }
    return true;
  }

  /** The most urgent job: by priority, then due date, then as they came. */
  static Optional<JobQueued> next(StationState state) {
    Comparator<JobOrder> urgency =
        Comparator.comparingInt(JobOrder::priority)
            .thenComparing(JobOrder::due, Comparator.nullsLast(Comparator.naturalOrder()));
    return state.queue().stream().min(Comparator.comparing(JobQueued::order, urgency));
  }

  private static boolean assumeStick(Turn turn) {
    DeviceSnapshot snapshot = turn.snapshot();
    if (turn.rules.assumeStick()
        && waitsForStick(turn)
        && !turn.state().paused()
        && snapshot != null
        && snapshot.permitsMove()) {
      load(turn, null, -1);
      return true;
    }
    return false;
  }

  private static void askPlan(Turn turn) {
    JobRun run = turn.state().run();
    if (run == null || !run.replanWanted() || turn.state().target() != null) {
      return;
    }
    String wish = run.order().id() + '#' + run.replanNumber();
    if (wish.equals(turn.senses().askedPlan())) {
      return;
    }
    turn.sense(turn.senses().havingAsked(wish));
    turn.effect(
        new StationEffect.AskPlan(run.order().id(), run.replanNumber(), run.missing(), inSaw(run)));
  }

  private static @Nullable StockItem inSaw(JobRun run) {
    StickInSaw stick = run.stick();
    if (stick == null || !stick.usable().isPositive()) {
      return null;
    }
    return new StockItem(
        stick.planned().material(),
        stick.usable(),
        1,
        java.math.BigDecimal.ZERO,
        StickKind.IN_SAW,
        stick.planned().label());
  }

  private static void setTarget(Turn turn) {
    boolean permitted = isPermitted(turn);
    JobRun run = turn.state().run();
    StickInSaw stick = run == null || run.replanWanted() ? null : run.stick();
    Next next = stick == null ? null : next(stick);
    if (permitted) {
      Length stand = next == null ? null : StopGeometry.stand(turn.rules, next.stick(), next.cut());
      if (!Moves.retract(turn, stand) && next != null) {
        Targets.set(turn, next.stick(), next.cut());
      }
    }
    Moves.park(turn, permitted && isPermitted(turn));
  }

  private static boolean isPermitted(Turn turn) {
    StationState state = turn.state();
    DeviceSnapshot snapshot = turn.snapshot();
    return state.armed()
        && !state.paused()
        && state.faults().isEmpty()
        && snapshot != null
        && snapshot.permitsMove()
        && state.target() == null
        && state.moving() == null
        && Targets.mayAskAgain(turn);
  }

  /** Is what is cut next, {@code null} for the squaring cut. */
  private record Next(StickInSaw stick, @Nullable Cut cut) {}

  private static @Nullable Next next(StickInSaw stick) {
    if (!stick.squared()) {
      return new Next(stick, null);
    }
    return stick.cuts().isEmpty() ? null : new Next(stick, stick.cuts().get(0));
  }
}
