package org.kerftally.daemon.planning.packing;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Finds the optimum of a small instance the slow way, for {@link Audit}: by going through every set
 * of pieces that can be made. Gives up beyond a limit on its work.
 */
final class SlowOptimum {

  private static final long MOST_STATES = 50_000;
  private static final long MOST_STATE_STEPS = 10_000_000;

  private final Instance instance;

  SlowOptimum(Instance instance) {
    this.instance = instance;
  }

  /**
   * Returns the least cost of all packings, {@link PackingSolver.Outcome#INFEASIBLE} where there is
   * none, or {@code null} where it is too much work: the least cost of every set of pieces, one
   * stick after the other.
   */
  @Nullable Long cost() {
    double states = 1;
    for (int i = 0; i < instance.itemCount(); i++) {
      states *= instance.demand(i) + 1.0;
    }
    if (states > MOST_STATES) {
      return null;
    }
    long[] costs = new long[(int) states];
    Arrays.fill(costs, PackingSolver.Outcome.INFEASIBLE);
    costs[0] = 0;
    long steps = 0;
    for (int t = 0; t < instance.types().size(); t++) {
      StickType type = instance.types().get(t);
      boolean[] fits = fitting(type, costs.length);
      long sticks = Math.min(type.available(), instance.pieces());
      for (long n = 0; n < sticks; n++) {
        steps += (long) costs.length * costs.length;
        if (steps > MOST_STATE_STEPS) {
          return null;
        }
        if (!oneMore(costs, fits, type.cost())) {
          break;
        }
      }
    }
    return costs[costs.length - 1];
  }

  /** Tells for every set of pieces whether it fits one stick. */
  private boolean[] fitting(StickType type, int states) {
    boolean[] fits = new boolean[states];
    for (int state = 1; state < states; state++) {
      long sum = 0;
      int rest = state;
      for (int i = 0; i < instance.itemCount(); i++) {
        int radix = instance.demand(i) + 1;
        sum += instance.size(i) * (rest % radix);
        rest /= radix;
      }
      fits[state] = sum <= type.capacity() || sum == type.flush();
    }
    return fits;
  }

  /** Cuts one more stick in all ways; tells whether that made anything cheaper. */
  private boolean oneMore(long[] costs, boolean[] fits, long cost) {
    boolean cheaper = false;
    long[] before = costs.clone();
    for (int made = 0; made < before.length; made++) {
      if (before[made] == PackingSolver.Outcome.INFEASIBLE) {
        continue;
      }
      for (int cut = 1; made + cut < costs.length; cut++) {
        if (fits[cut] && before[made] + cost < costs[made + cut] && together(made, cut)) {
          costs[made + cut] = before[made] + cost;
          cheaper = true;
        }
      }
    }
    return cheaper;
  }

  /** Tells whether two sets of pieces together are no more than is wanted of any. */
  private boolean together(int one, int other) {
    int a = one;
    int b = other;
    for (int i = 0; i < instance.itemCount(); i++) {
      int radix = instance.demand(i) + 1;
      if (a % radix + b % radix >= radix) {
        return false;
      }
      a /= radix;
      b /= radix;
    }
    return true;
  }
}
