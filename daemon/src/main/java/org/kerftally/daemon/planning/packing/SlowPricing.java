package org.kerftally.daemon.planning.packing;

import java.util.Arrays;
import java.util.function.ToLongFunction;
import org.jspecify.annotations.Nullable;

/**
 * Finds the heaviest pattern the slow way, for {@link Audit}: by a table over all sums, one piece
 * after the other, or by going through all patterns. Gives up beyond a limit on its work.
 */
final class SlowPricing {

  private static final long MOST_TABLE_STEPS = 20_000_000;
  private static final long MOST_PATTERNS = 200_000;
  private static final long NOTHING = Long.MIN_VALUE;

  private final Instance instance;

  SlowPricing(Instance instance) {
    this.instance = instance;
  }

  /** Returns the weight of the heaviest pattern, or {@code null} where that is too much work. */
  @Nullable Long heaviest(long[] weights, int t) {
    StickType type = instance.types().get(t);
    double steps = (double) (type.reach() + 1) * instance.pieces();
    if (steps <= MOST_TABLE_STEPS) {
      return byTable(weights, type);
    }
    return most(
        t,
        counts -> {
          long sum = 0;
          for (int i = 0; i < counts.length; i++) {
            sum = Math.addExact(sum, Math.multiplyExact(weights[i], (long) counts[i]));
          }
          return sum;
        });
  }

  /**
   * Returns what the pattern that is worth most is worth, by going through all patterns of a type;
   * {@code null} where there are too many.
   *
   * @param worth the worth of a pattern given by its counts by item
   */
  @Nullable Long most(int t, ToLongFunction<int[]> worth) {
    Walk walk = new Walk(instance.types().get(t), worth);
    return walk.from(0, 0) ? walk.best : null;
  }

  /** The knapsack by its textbook: the best weight for every sum, one piece after the other. */
  private long byTable(long[] weights, StickType type) {
    long[] bySum = new long[(int) type.reach() + 1];
    Arrays.fill(bySum, NOTHING);
    bySum[0] = 0;
    for (int i = 0; i < weights.length; i++) {
      if (instance.size(i) > type.reach()) {
        continue;
      }
      int size = (int) instance.size(i);
      for (int piece = 0; piece < instance.demand(i); piece++) {
        for (int sum = bySum.length - 1; sum >= size; sum--) {
          if (bySum[sum - size] != NOTHING) {
            bySum[sum] = Math.max(bySum[sum], Math.addExact(bySum[sum - size], weights[i]));
          }
        }
      }
    }
    long best = 0;
    for (int sum = 0; sum < bySum.length; sum++) {
      if (sum <= type.capacity() || sum == type.flush()) {
        best = Math.max(best, bySum[sum]);
      }
    }
    return best;
  }

  /** Goes through all patterns of a type. */
  private final class Walk {
    private final StickType type;
    private final ToLongFunction<int[]> worth;
    private final int[] counts = new int[instance.itemCount()];
    private long best = NOTHING;
    private long steps;

    Walk(StickType type, ToLongFunction<int[]> worth) {
      this.type = type;
      this.worth = worth;
    }

    /** Goes on from an item with what is filled already; tells whether it came to an end. */
    boolean from(int item, long filled) {
      if (++steps > MOST_PATTERNS) {
        return false;
      }
      if (item == counts.length) {
        if (filled <= type.capacity() || filled == type.flush()) {
          best = Math.max(best, worth.applyAsLong(counts));
        }
        return true;
      }
      boolean ended = true;
      long sum = filled;
      for (int n = 0; ended && n <= instance.demand(item) && sum <= type.flush(); n++) {
        counts[item] = n;
        ended = from(item + 1, sum);
        sum += instance.size(item);
      }
      counts[item] = 0;
      return ended;
    }
  }
}
