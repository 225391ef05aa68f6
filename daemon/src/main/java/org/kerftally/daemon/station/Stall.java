package org.kerftally.daemon.station;

import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationState.OpenMove;
import org.kerftally.daemon.station.StationState.OpenTarget;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.TargetVoided;

/**
 * Notices a stop that took its target and does not get there: it stands still short of it, although
 * every permit is present. A drive that was disabled in mid-move and enabled again does that
 * without reporting a fault. The operator is asked to look and to acknowledge; then the target is
 * set anew.
 */
final class Stall {

  static final String NOT_REACHED = "not-reached";

  /** Far longer than any drive takes to begin a move or to settle in its window. */
  private static final long PATIENCE_NANOS = 10_000_000_000L;

  private Stall() {}

  static void settle(Turn turn, DeviceSnapshot snapshot) {
    OpenMove moving = turn.state().moving();
    boolean isShort =
        moving == null
            ? stands(turn.state().target(), snapshot)
            : isShort(moving, snapshot) && snapshot.permitsMove();
    if (!turn.state().armed() || !isShort) {
      turn.sense(turn.senses().stalled(null));
      return;
    }
    Senses.Still still = turn.senses().still();
    if (still == null || moved(turn, still, snapshot)) {
      turn.sense(turn.senses().stalled(new Senses.Still(snapshot.position(), turn.now.nanos())));
    } else if (turn.now.nanos() - still.sinceNanos() > PATIENCE_NANOS
        && !turn.state().faults().containsKey(NOT_REACHED)) {
      if (moving != null && moving.set().move() == StopMove.PARK) {
        turn.say(new TargetVoided(moving.set().seq(), "the stop does not get there"));
        return;
      }
      turn.say(
          new FaultRaised(
              NOT_REACHED,
              "The stop stands at "
                  + snapshot.position()
                  + " and does not reach its target. See to it, then acknowledge."));
    }
  }

  /** A stop that holds its place still reads a little off from one look to the next. */
  private static boolean moved(Turn turn, Senses.Still still, DeviceSnapshot snapshot) {
    return snapshot.position().minus(still.position()).abs().isMoreThan(turn.rules.window());
  }

  /** A move ends by itself, so one that the device has forgotten must not be waited for either. */
  private static boolean isShort(OpenMove moving, DeviceSnapshot snapshot) {
    return moving.answered()
        && !(snapshot.targetReached() && snapshot.activeSequence() == moving.set().seq());
  }

  private static boolean stands(@Nullable OpenTarget open, DeviceSnapshot snapshot) {
    return open != null
        && open.answered()
        && snapshot.activeSequence() == open.set().seq()
        && !snapshot.targetReached()
        && snapshot.permitsMove();
  }
}
