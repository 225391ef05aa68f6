package org.kerftally.daemon.planning.sequence;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutOrder;

/**
 * Describes one way to cut some equal sticks, as the stop sees it.
 *
 * @param start where the stop stands first
 * @param end where it stands last
 * @param moves how often it moves between
 * @param millis how long it moves between
 * @param cuts the order of the first stick's cuts
 * @param goingOn how the order goes on from stick to stick, or {@code null} for one stick
 */
record StopWay(
    Length start, Length end, long moves, long millis, List<Cut> cuts, @Nullable CutOrder goingOn) {

  /** Orders by moves, then by time: a move weighs more than any time that is reached. */
  static final long MOVE = 1L << 40;

  /** Returns moves and time as one number. */
  long weight() {
    return moves * MOVE + millis;
  }
}
