package org.kerftally.protocol.probe;

import java.util.Arrays;

/**
 * Says how long the other side took to answer.
 *
 * @param what what was asked, in words
 * @param minNanos the quickest answer
 * @param medianNanos the one in the middle
 * @param maxNanos the slowest
 */
public record RoundTrip(String what, long minNanos, long medianNanos, long maxNanos) {

  /** Makes it of single times, at least one. */
  public static RoundTrip of(String what, long[] nanos) {
    long[] sorted = nanos.clone();
    Arrays.sort(sorted);
    return new RoundTrip(
        what, sorted[0], sorted[(sorted.length - 1) / 2], sorted[sorted.length - 1]);
  }
}
