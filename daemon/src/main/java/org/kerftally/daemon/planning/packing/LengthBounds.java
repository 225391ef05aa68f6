package org.kerftally.daemon.planning.packing;

/**
 * Bounds from below how many sticks of one length are needed, by arithmetic alone.
 *
 * <p>Three families: the sum of all sizes (L1); L2 of Martello and Toth, Knapsack Problems (1990),
 * section 8.3; and the dual-feasible functions u(k), U(eps) and phi(eps) of Fekete and Schepers,
 * "New classes of fast lower bounds for bin packing problems" (2001), each also after U(eps). A
 * function u is dual feasible when sizes that go into one stick have values that sum to at most 1;
 * then the sum of all values, rounded up, is a bound. All of it in whole numbers: a value is held
 * as a numerator over a denominator common to its function.
 */
final class LengthBounds {

  /** Parameters of u(k) that are tried: 1 to this. */
  private static final int MOST_K = 24;

  /** Thresholds that are tried; more distinct sizes are sampled evenly. */
  private static final int MOST_THRESHOLDS = 120;

  private final Instance instance;
  private final long reach;

  private LengthBounds(Instance instance, long reach) {
    this.instance = instance;
    this.reach = reach;
  }

  /**
   * Returns a safe bound on the number of sticks.
   *
   * @param instance what to pack; its stick types are not looked at
   * @param reach the largest sum that fits a stick, at least the largest size wanted
   */
  static long sticks(Instance instance, long reach) {
    return new LengthBounds(instance, reach).best();
  }

  private long best() {
    long best = ceilDiv(instance.totalSize(), reach);
    for (int k = 1; k <= MOST_K; k++) {
      best = Math.max(best, stepBound(k, 0));
    }
    int items = instance.itemCount();
    int step = 1 + items / MOST_THRESHOLDS;
    for (int i = 0; i < items; i += step) {
      long threshold = instance.sizes[i];
      if (2 * threshold <= reach) {
        best = Math.max(best, martelloToth(threshold));
        best = Math.max(best, phiBound(threshold));
        for (int k = 1; k <= MOST_K; k += 1 + k / 4) {
          best = Math.max(best, stepBound(k, threshold));
        }
      }
    }
    return Math.max(best, martelloToth(0));
  }

  /** L2 for one threshold: pieces that exclude each other, and what no gap beside them takes. */
  private long martelloToth(long threshold) {
    long alone = 0;
    long halves = 0;
    long halvesSize = 0;
    long smallSize = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      long size = instance.sizes[i];
      long demand = instance.demands[i];
      if (size > reach - threshold) {
        alone += demand;
      } else if (2 * size > reach) {
        halves += demand;
        halvesSize += size * demand;
      } else if (size >= threshold) {
        smallSize += size * demand;
      }
    }
    long gaps = Math.subtractExact(Math.multiplyExact(halves, reach), halvesSize);
    return alone + halves + Math.max(0, ceilDiv(smallSize - gaps, reach));
  }

  /** The bound of u(k) after U(threshold), over the denominator k (k + 1). */
  private long stepBound(int k, long threshold) {
    long sum = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      long size = threshold > 0 ? truncated(instance.sizes[i], threshold) : instance.sizes[i];
      long multiple = Math.multiplyExact(size, k + 1L);
      long whole = multiple / reach;
      long value = multiple % reach == 0 ? whole * k : whole * (k + 1L);
      sum = Math.addExact(sum, Math.multiplyExact(value, (long) instance.demands[i]));
    }
    return ceilDiv(sum, k * (k + 1L));
  }

  private long truncated(long size, long threshold) {
    if (size > reach - threshold) {
      return reach;
    }
    return size < threshold ? 0 : size;
  }

  /** The bound of phi(threshold), over the denominator floor(reach / threshold). */
  private long phiBound(long threshold) {
    long parts = reach / threshold;
    long sum = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      long size = instance.sizes[i];
      long value;
      if (2 * size > reach) {
        value = parts - (reach - size) / threshold;
      } else {
        value = size >= threshold ? 1 : 0;
      }
      sum = Math.addExact(sum, Math.multiplyExact(value, (long) instance.demands[i]));
    }
    return ceilDiv(sum, parts);
  }

  private static long ceilDiv(long dividend, long divisor) {
    return -Math.floorDiv(-dividend, divisor);
  }
}
