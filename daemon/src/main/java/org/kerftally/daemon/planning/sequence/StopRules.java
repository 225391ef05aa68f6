package org.kerftally.daemon.planning.sequence;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.length.Length;

/**
 * States what decides the order of work at a saw.
 *
 * @param layout which side of the blade the positioner stands on
 * @param nearest the nearest the stop can come to the blade: where it stands for a squaring cut
 *     that takes less; not negative
 * @param motion how fast the stop moves
 * @param mostOpenParts how many parts may be open at once, at least 1, or {@code null} for as few
 *     as can be
 */
public record StopRules(
    Layout layout, Length nearest, StopMotion motion, @Nullable Integer mostOpenParts) {

  /** An outfeed stop that reaches the blade, moves like a light one, and no limit on open parts. */
  public static final StopRules PLAIN =
      new StopRules(Layout.OUTFEED_STOP, Length.ZERO, StopMotion.LIGHT, null);

  /** Checks the ranges. */
  public StopRules {
    if (nearest.isNegative() || (mostOpenParts != null && mostOpenParts < 1)) {
      throw new IllegalArgumentException("not the rules of a stop: " + nearest);
    }
  }
}
