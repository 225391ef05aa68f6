package org.kerftally.shared.device;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Describes the last saw cycle the device counted.
 *
 * @param boot the power-up it happened in
 * @param count the cut count it brought the counter to, at least 1
 * @param seq the sequence number of the target that was active, 0 for none
 * @param position where the stop stood during the cut
 * @param at when the device says it happened, or {@code null} where it has no clock
 * @param turning whether the stop was still on its way to where the move only turns, not to the
 *     target itself: whatever its position reads, nothing was to be cut there
 */
public record LastCut(
    String boot, long count, long seq, Length position, @Nullable Instant at, boolean turning) {

  /** Describes a cut where every move goes straight to its target. */
  public LastCut(String boot, long count, long seq, Length position, @Nullable Instant at) {
    this(boot, count, seq, position, at, false);
  }
}
