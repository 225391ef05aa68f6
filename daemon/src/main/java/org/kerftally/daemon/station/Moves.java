package org.kerftally.daemon.station;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationState.OpenMove;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.StationEvent.MoveDone;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.length.Length;

/**
 * Moves the stop where nothing is to be cut: away from the piece after a cut, and to its park
 * position when there is no work.
 *
 * <p>Both need every permit that a target needs, and the saw idle. A retract is owed by the cut
 * before it, and by nothing else: whatever disarms the station settles the debt, and after the
 * acknowledge the next target is set as usual. One that is refused or not answered is asked for
 * again and at last holds the station like any target. Parking is a courtesy: it is tried once
 * after the last target, and given up without a word to anybody but the log.
 */
final class Moves {

  private Moves() {}

  /** Ends a move when the stop has stood where it leads for as long as it is to. */
  static void settle(Turn turn) {
    OpenMove open = turn.state().moving();
    DeviceSnapshot snapshot = turn.snapshot();
    boolean there =
        open != null
            && open.answered()
            && snapshot != null
            && snapshot.activeSequence() == open.set().seq()
            && snapshot.targetReached();
    if (open == null || !there) {
      turn.sense(turn.senses().arrived(null));
      return;
    }
    Long since = turn.senses().arrivedNanos();
    if (since == null) {
      since = turn.now.nanos();
      turn.sense(turn.senses().arrived(since));
    }
    long hold = open.set().move() == StopMove.RETRACT ? turn.rules.moves().hold().toNanos() : 0;
    if (turn.now.nanos() - since >= hold) {
      turn.sense(turn.senses().arrived(null));
      turn.say(new MoveDone(open.set().seq()));
    }
  }

  /**
   * Moves the stop clear of the piece that was cut last, where that is wanted and not done yet.
   *
   * @param next how far from the blade the next target stands, {@code null} where it is not known
   * @return whether a move was set
   */
  static boolean retract(Turn turn, @Nullable Length next) {
    Length from = turn.state().cutAt();
    Length by = turn.rules.moves().retractBy();
    if (from == null || !by.isPositive()) {
      return false;
    }
    Length stood = turn.rules.calibration().toLength(from);
    Length clear = stood.plus(by).min(turn.rules.travel().max());
    boolean hasRoom = clear.minus(stood).isMoreThan(turn.rules.window());
    if (!hasRoom || (next != null && !next.isLessThan(clear))) {
      return false;
    }
    set(turn, StopMove.RETRACT, clear);
    return true;
  }

  /** Sends the stop to its park position when there has been no work for long enough. */
  static void park(Turn turn, boolean permitted) {
    StationState state = turn.state();
    Length at = turn.rules.moves().parkAt();
    boolean idle =
        permitted
            && !state.parked()
            && state.run() == null
            && state.queue().isEmpty()
            && state.owed().isEmpty();
    DeviceSnapshot snapshot = turn.snapshot();
    if (at == null || snapshot == null || !idle) {
      turn.sense(turn.senses().idleFrom(null));
      return;
    }
    Long since = turn.senses().idleNanos();
    if (since == null) {
      turn.sense(turn.senses().idleFrom(turn.now.nanos()));
      return;
    }
    Length position = turn.rules.calibration().toPosition(at);
    boolean away = snapshot.position().minus(position).abs().isMoreThan(turn.rules.window());
    if (away && turn.now.nanos() - since >= turn.rules.moves().parkAfter().toNanos()) {
      turn.sense(turn.senses().idleFrom(null));
      set(turn, StopMove.PARK, at);
    }
  }

  private static void set(Turn turn, StopMove move, Length stand) {
    long seq = Targets.nextNumber(turn);
    Instant until = turn.now.wall().plus(turn.rules.validity());
    Length position = turn.rules.calibration().toPosition(stand);
    JobRun run = turn.state().run();
    String job = run == null ? null : run.order().id();
    DeviceSnapshot snapshot = turn.snapshot();
    turn.say(new MoveSet(seq, move, job, stand, position, until));
    turn.sense(turn.senses().waitingUntil(turn.now.nanos() + turn.rules.validity().toNanos()));
    turn.effect(
        new StationEffect.Send(
            new Target(
                seq,
                position,
                null,
                job == null ? "" : job,
                until,
                turn.rules.validity(),
                snapshot == null ? null : snapshot.boot(),
                move)));
  }

  /** Gives a move up that was under way when the station was interrupted. */
  static void giveUp(Turn turn) {
    OpenMove open = turn.state().moving();
    if (open != null) {
      turn.say(new TargetVoided(open.set().seq(), "not gone on with after the interruption"));
    }
  }

  /**
   * Says what the stop is doing, for the operator; {@code null} when it makes no such move, or was
   * interrupted in one.
   */
  static @Nullable String words(Turn turn) {
    OpenMove open = turn.state().moving();
    if (open == null || !turn.state().armed()) {
      return null;
    }
    if (open.set().move() == StopMove.PARK) {
      return "The stop is going to its park position. Do not cut";
    }
    return turn.senses().arrivedNanos() == null
        ? "The stop is retracting. Do not cut"
        : "The stop has retracted. Take the piece; do not cut yet";
  }
}
