package org.kerftally.protocol.quality;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Decides when the stop counts as in position: the device says so and has said so for the settling
 * time, and the position has read within the window for the dwell. Leaving the window, or the
 * device's word, starts it over.
 *
 * <p>Where the target's position is not known, as after a restart, the position at which the device
 * first said so stands in for it.
 */
final class InPosition {

  private final long dwellNanos;
  private final long settleNanos;
  private final Length window;
  private long number;
  private @Nullable Length first;
  private @Nullable Long saidNanos;
  private @Nullable Long withinNanos;
  private boolean attained;

  InPosition(Duration dwell, Duration settle, Length window) {
    this.dwellNanos = dwell.toNanos();
    this.settleNanos = settle.toNanos();
    this.window = window;
  }

  /** Starts over. */
  void startOver() {
    first = null;
    saidNanos = null;
    withinNanos = null;
    attained = false;
  }

  /**
   * Looks at a reading.
   *
   * @param active the number of the target the device holds
   * @param said whether the device says that it is reached
   * @param wanted the target's position, {@code null} where it is not known
   * @return whether the stop is in position
   */
  boolean look(long active, boolean said, Length position, @Nullable Length wanted, long nowNanos) {
    if (active != number) {
      startOver();
      number = active;
    }
    if (!said) {
      saidNanos = null;
      first = null;
    } else if (saidNanos == null) {
      saidNanos = nowNanos;
      first = position;
    }
    Length middle = wanted == null ? first : wanted;
    boolean within = middle != null && !position.minus(middle).abs().isMoreThan(window);
    if (!within) {
      withinNanos = null;
    } else if (withinNanos == null) {
      withinNanos = nowNanos;
    }
    return pass(nowNanos);
  }

  /** Looks at the time alone. */
  boolean pass(long nowNanos) {
    Long due = dueNanos();
    attained = saidNanos != null && withinNanos != null && (due == null || nowNanos - due >= 0);
    return attained;
  }

  /** Returns when time alone will make it true, {@code null} when it will not or has. */
  @Nullable Long dueNanos() {
    Long said = saidNanos;
    Long within = withinNanos;
    if (attained || said == null || within == null) {
      return null;
    }
    long settled = said + settleNanos;
    long dwelt = within + dwellNanos;
    return settled - dwelt > 0 ? settled : dwelt;
  }
}
