package org.kerftally.daemon.planning.packing;

import java.math.BigInteger;

/**
 * Knows which costs a packing can have at all: sums of the sticks' costs, each stick used no more
 * often than it is there. A bound between two of them is as good as the higher one.
 *
 * <p>Sums are held as bits up to some limit; above it, and where that would be too much, only their
 * greatest common divisor counts.
 */
final class ReachableCosts {

  /** The most 64-bit words to shift. */
  private static final long MOST_WORDS = 20_000_000;

  private final long unit;
  private final long limit;
  private final BigInteger sums;

  private ReachableCosts(long unit, long limit, BigInteger sums) {
    this.unit = unit;
    this.limit = limit;
    this.sums = sums;
  }

  /** Learns the costs up to a limit. */
  static ReachableCosts of(Instance instance, long upTo) {
    long unit = 0;
    long lots = 0;
    for (StickType type : instance.types()) {
      if (type.available() > 0) {
        unit = gcd(type.cost(), unit);
        lots += Integer.SIZE - Integer.numberOfLeadingZeros(type.available());
      }
    }
    if (unit == 0) {
      return new ReachableCosts(1, -1, BigInteger.ZERO);
    }
    long width = upTo / unit;
    if (width / Long.SIZE > MOST_WORDS / Math.max(1, lots)) {
      return new ReachableCosts(unit, -1, BigInteger.ZERO);
    }
    BigInteger mask = BigInteger.ONE.shiftLeft((int) width + 1).subtract(BigInteger.ONE);
    BigInteger sums = BigInteger.ONE;
    for (StickType type : instance.types()) {
      int left = type.available();
      for (int lot = 1; left > 0 && type.cost() > 0; lot *= 2) {
        int taken = Math.min(lot, left);
        left -= taken;
        long step = taken * (type.cost() / unit);
        if (step <= width) {
          sums = sums.or(sums.shiftLeft((int) step).and(mask));
        }
      }
    }
    return new ReachableCosts(unit, width * unit, sums);
  }

  private static long gcd(long one, long other) {
    return other == 0 ? one : gcd(other, one % other);
  }

  /** Returns the least cost of at least this much that can be reached, as far as is known. */
  long atLeast(long cost) {
    if (cost <= 0 || cost > Long.MAX_VALUE - unit) {
      return cost;
    }
    long multiple = (cost - 1) / unit + 1;
    if (multiple * unit > limit) {
      return multiple * unit;
    }
    int step = (int) multiple;
    long last = limit / unit;
    while (step <= last && !sums.testBit(step)) {
      step++;
    }
    return step * unit;
  }

  /** Returns the largest cost of at most this much that can be reached, as far as is known. */
  long atMost(long cost) {
    if (cost <= 0) {
      return cost;
    }
    long multiple = cost / unit;
    if (multiple * unit > limit) {
      return multiple * unit;
    }
    int step = (int) multiple;
    while (!sums.testBit(step)) {
      step--;
    }
    return step * unit;
  }
}
