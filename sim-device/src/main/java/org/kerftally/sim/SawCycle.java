package org.kerftally.sim;

import java.time.Duration;

/**
 * Holds how long each part of one saw cycle takes.
 *
 * @param guardDown from the guard's first move to a clamped workpiece
 * @param bladeUp from the table to the top of the stroke; the piece is parted then
 * @param bladeDown from the top of the stroke back into the table
 * @param guardUp until the workpiece is free
 */
public record SawCycle(Duration guardDown, Duration bladeUp, Duration bladeDown, Duration guardUp) {

  /** A light pneumatic saw in softwood; chosen for the simulation, not taken from a machine. */
  public static final SawCycle STANDARD =
      new SawCycle(
          Duration.ofMillis(300),
          Duration.ofMillis(700),
          Duration.ofMillis(400),
          Duration.ofMillis(300));

  /** Checks that every part takes some time, so that a cycle is never over before it began. */
  public SawCycle {
    for (Duration part : new Duration[] {guardDown, bladeUp, bladeDown, guardUp}) {
      if (part.isNegative() || part.isZero()) {
        throw new IllegalArgumentException("a part of the saw cycle must take time: " + part);
      }
    }
  }

  /** Returns how long the whole cycle takes. */
  public Duration total() {
    return guardDown.plus(bladeUp).plus(bladeDown).plus(guardUp);
  }
}
