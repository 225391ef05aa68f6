package org.kerftally.daemon.planning.packing;

import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;

/**
 * Shortens every stick to what sizes can fill: a capacity that no sum of wanted pieces meets is
 * lowered to the next sum below that one does. No packing is lost, and every bound gains.
 */
final class ReachableSums {

  /** The most 64-bit words to shift; beyond it the sticks stay as they are. */
  private static final long MOST_WORDS = 20_000_000;

  private ReachableSums() {}

  static Instance tighten(Instance instance) {
    long reach = instance.longestReach();
    long lots = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      lots += Long.SIZE - Long.numberOfLeadingZeros(most(instance, i, reach));
    }
    if (reach / Long.SIZE > MOST_WORDS || lots * (reach / Long.SIZE + 1) > MOST_WORDS) {
      return instance;
    }
    BigInteger sums = sums(instance, (int) reach);
    List<StickType> types = new ArrayList<>();
    for (StickType type : instance.types()) {
      long capacity = below(sums, (int) type.capacity());
      long flush = sums.testBit((int) type.flush()) ? type.flush() : capacity;
      types.add(new StickType(capacity, flush, type.available(), type.cost(), type.kind()));
    }
    return instance.withTypes(types);
  }

  private static long most(Instance instance, int item, long reach) {
    return Math.min(instance.demands[item], reach / instance.sizes[item]);
  }

  /** Returns a number whose bit s says whether some of the wanted pieces sum to s. */
  private static BigInteger sums(Instance instance, int reach) {
    BigInteger mask = BigInteger.ONE.shiftLeft(reach + 1).subtract(BigInteger.ONE);
    BigInteger sums = BigInteger.ONE;
    for (int i = 0; i < instance.itemCount(); i++) {
      long left = most(instance, i, reach);
      for (long lot = 1; left > 0; lot *= 2) {
        long taken = Math.min(lot, left);
        left -= taken;
        sums = sums.or(sums.shiftLeft((int) (taken * instance.sizes[i])).and(mask));
      }
    }
    return sums;
  }

  private static long below(BigInteger sums, int capacity) {
    int sum = capacity;
    while (!sums.testBit(sum)) {
      sum--;
    }
    return sum;
  }
}
