package org.kerftally.daemon.station;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * States which moves a station makes besides those to its targets.
 *
 * @param retractBy how far the stop moves away from the blade after a cut, zero for not at all
 * @param hold how long it stays there before it moves in again
 * @param parkAt where it waits while there is no work, {@code null} for where it stands
 * @param parkAfter how long there has to be no work before it goes there
 */
public record StopMoves(
    Length retractBy, Duration hold, @Nullable Length parkAt, Duration parkAfter) {

  /** No moves but those to targets. */
  public static final StopMoves NONE =
      new StopMoves(Length.ZERO, Duration.ZERO, null, Duration.ZERO);
}
