package org.kerftally.daemon.planning.sequence;

import java.util.List;
import java.util.function.Function;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.PlannedSticks;

/** Follows the stop through a whole plan, stick by stick, and adds up its time. */
public final class StopTime {

  private StopTime() {}

  /** Returns how long the stop moves for a plan's sticks in order, but for the first move. */
  public static long millis(
      List<PlannedSticks> sticks, StopRules rules, Function<String, Length> kerf) {
    long millis = 0;
    Length at = null;
    for (PlannedSticks several : sticks) {
      PlannedSticks left = several;
      while (left.repeat() > 0) {
        for (Length stand : StopWays.stands(left, rules, kerf.apply(several.material()))) {
          millis += at == null ? 0 : rules.motion().millis(at, stand);
          at = stand;
        }
        left = left.afterFirst();
      }
    }
    return millis;
  }
}
