package org.kerftally.daemon.intake.folder;

import java.time.Clock;
import java.time.InstantSource;
import java.util.function.LongSupplier;

/**
 * Gives the two kinds of time: spans are measured on the monotonic one, because the other may jump.
 *
 * @param nanos a monotonic time in nanoseconds with any origin
 * @param wall the time of day
 */
public record Clocks(LongSupplier nanos, InstantSource wall) {

  /** Returns the machine's clocks. */
  public static Clocks system() {
    return new Clocks(System::nanoTime, Clock.systemUTC());
  }
}
