package org.kerftally.daemon.site;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.site.DeviceTruth.Doing;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.Acknowledged;
import org.kerftally.shared.event.StationEvent.BootSeen;
import org.kerftally.shared.event.StationEvent.DriveBegun;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.TargetSet;

/**
 * Holds every move a device made against the presses at its panel: none without somebody who had
 * acknowledged since the last start of the service, the last reconnect, power-up and fault.
 *
 * <p>That a press was made, when, and before which move, is the device's own word. The log only
 * says between which of its interruptions a target was set, and which press it took for the
 * acknowledge.
 */
final class MotionCheck {

  /** What a target was set upon. */
  private record Leave(String boot, @Nullable Acknowledged by, Instant since, String after) {}

  private final Map<Long, Leave> leaves = new HashMap<>();
  private final List<String> breaches = new ArrayList<>();

  private MotionCheck(List<Recorded> events) {
    String boot = "";
    Acknowledged by = null;
    Instant since = Instant.MIN;
    String after = "nothing";
    for (Recorded recorded : events) {
      if (recorded.event() instanceof Acknowledged acknowledged) {
        by = acknowledged;
      } else if (recorded.event() instanceof TargetSet set) {
        leaves.put(set.seq(), new Leave(boot, by, since, after));
      } else if (recorded.event() instanceof MoveSet set) {
        leaves.put(set.seq(), new Leave(boot, by, since, after));
      } else if (recorded.event() instanceof BootSeen seen) {
        boot = seen.boot();
        by = null;
      } else if (recorded.event() instanceof DriveBegun || recorded.event() instanceof LinkDown) {
        by = null;
        since = recorded.at();
        after = recorded.event().getClass().getSimpleName();
      } else if (recorded.event() instanceof FaultRaised || recorded.event() instanceof LinkUp) {
        by = null;
      }
    }
  }

  /** Returns every move of a device that nobody had given leave for, in words. */
  static List<String> breaches(DeviceTruth truth, List<Recorded> events) {
    MotionCheck check = new MotionCheck(events);
    List<Doing> before = new ArrayList<>();
    for (Doing doing : truth.doings()) {
      if (doing.is(Doing.MOVE)) {
        check.judge(doing, before);
      }
      before.add(doing);
    }
    return List.copyOf(check.breaches);
  }

  private void judge(Doing move, List<Doing> before) {
    Leave leave = leaves.get(move.number());
    if (leave == null) {
      breaches.add("moved for target " + move.number() + ", which was never set: " + move);
      return;
    }
    Acknowledged by = leave.by();
    if (by == null) {
      breaches.add("target " + move.number() + " was set without an acknowledge: " + move);
      return;
    }
    boolean pressed =
        before.stream()
            .anyMatch(
                d ->
                    d.is(Doing.ACKNOWLEDGE)
                        && d.boot().equals(move.boot())
                        && d.boot().equals(leave.boot())
                        && d.number() <= by.presses()
                        && !d.at().isBefore(leave.since()));
    if (!pressed) {
      breaches.add(
          "moved for target "
              + move.number()
              + ", and nobody had acknowledged after "
              + leave.after()
              + " at "
              + leave.since()
              + ": "
              + move);
    }
  }
}
