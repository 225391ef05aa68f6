package org.kerftally.config;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * States which moves the stop makes besides those to its targets.
 *
 * @param retractBy how far it moves away from the blade after a cut, zero for not at all
 * @param hold how long it stays there before it moves in again
 * @param parkAt where it waits while there is no work, as a length at the blade, {@code null} for
 *     where it stands
 * @param parkAfter how long there has to be no work before it goes there
 */
public record MovesConfig(
    Length retractBy, Duration hold, @Nullable Length parkAt, Duration parkAfter) {

  /** Long enough for a hand that has waited for the blade to take the piece. */
  public static final Duration DEFAULT_HOLD = Duration.ofSeconds(1);

  /** Longer than it takes to fetch the next job's stick. */
  public static final Duration DEFAULT_PARK_AFTER = Duration.ofSeconds(60);

  /** The stop goes to its targets and nowhere else. */
  public static final MovesConfig NONE =
      new MovesConfig(Length.ZERO, DEFAULT_HOLD, null, DEFAULT_PARK_AFTER);

  /** Tells whether the stop moves away from the piece after a cut. */
  public boolean retracts() {
    return retractBy.isPositive();
  }
}
