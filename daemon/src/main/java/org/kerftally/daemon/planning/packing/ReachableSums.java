package org.kerftally.daemon.planning.packing;

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
    long[] sums = sums(instance, (int) reach);
    List<StickType> types = new ArrayList<>();
    for (StickType type : instance.types()) {
      long capacity = below(sums, type.capacity());
      long flush = isSum(sums, type.flush()) ? type.flush() : capacity;
      types.add(new StickType(capacity, flush, type.available(), type.cost(), type.kind()));
    }
    return instance.withTypes(types);
  }

  private static long most(Instance instance, int item, long reach) {
    return Math.min(instance.demands[item], reach / instance.sizes[item]);
  }

  /** Returns bits of which number s says whether some of the wanted pieces sum to s. */
  private static long[] sums(Instance instance, int reach) {
    long[] sums = new long[reach / Long.SIZE + 1];
    sums[0] = 1;
    for (int i = 0; i < instance.itemCount(); i++) {
      long left = most(instance, i, reach);
      for (long lot = 1; left > 0; lot *= 2) {
        long taken = Math.min(lot, left);
        left -= taken;
        addShifted(sums, (int) (taken * instance.sizes[i]));
      }
    }
    return sums;
  }

  /** Sets each bit that stands so far above one that is set. */
  private static void addShifted(long[] bits, int shift) {
    int words = shift / Long.SIZE;
    int rest = shift % Long.SIZE;
    for (int w = bits.length - 1; w >= words; w--) {
      long moved = bits[w - words] << rest;
      if (rest > 0 && w > words) {
        moved |= bits[w - words - 1] >>> (Long.SIZE - rest);
      }
      bits[w] |= moved;
    }
  }

  private static boolean isSum(long[] sums, long sum) {
    return (sums[(int) (sum / Long.SIZE)] >>> sum & 1) != 0;
  }

  private static long below(long[] sums, long capacity) {
    long sum = capacity;
    while (!isSum(sums, sum)) {
      sum--;
    }
    return sum;
  }
}
