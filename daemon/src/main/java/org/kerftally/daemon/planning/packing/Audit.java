package org.kerftally.daemon.planning.packing;

import java.math.BigInteger;
import java.util.Arrays;
import java.util.function.ToLongFunction;
import org.jspecify.annotations.Nullable;

/**
 * Recomputes packings and bounds the slow way and throws where they differ: the planner's assertion
 * mode.
 *
 * <p>What the planner trusts is little: that no pattern is heavier than the pricer says, and that a
 * bound follows from that by arithmetic. Both are recomputed here by other means, sharing nothing
 * with the code they check: the heaviest pattern by a table over all sums, one piece at a time, or
 * by going through all patterns; a bound by the duality of linear programs, in fractions; and on
 * small instances by the optimum itself, found by going through all that can be made. A packing is
 * counted piece by piece.
 *
 * <p>Each check has a limit on its work. Where it would be exceeded nothing is checked, and the
 * method says so by returning {@code false}. Immutable, thread-safe.
 */
public final class Audit {

  private static final long MOST_TABLE_STEPS = 20_000_000;
  private static final long MOST_PATTERNS = 200_000;
  private static final long MOST_STATES = 50_000;
  private static final long MOST_STATE_STEPS = 10_000_000;
  private static final long NOTHING = Long.MIN_VALUE;

  private final Instance instance;

  /** Prepares to check what is claimed of one instance. */
  public Audit(Instance instance) {
    this.instance = instance;
  }

  /**
   * Checks an outcome: the packing if there is one, and the bound.
   *
   * @throws IllegalStateException when it is wrong
   */
  public void outcome(PackingSolver.Outcome outcome) {
    Packing packing = outcome.packing();
    if (packing != null) {
      packing(packing);
      require(outcome.bound() <= packing.cost(), "bound above the packing", outcome.bound());
    }
    bound(outcome.bound());
  }

  /**
   * Counts a packing piece by piece and stick by stick.
   *
   * @throws IllegalStateException when it is no packing, or its cost is misstated
   */
  public void packing(Packing packing) {
    long[] made = new long[instance.itemCount()];
    long[] taken = new long[instance.types().size()];
    BigInteger cost = BigInteger.ZERO;
    for (Packing.Use use : packing.uses()) {
      Pattern pattern = use.pattern();
      StickType type = instance.types().get(pattern.type());
      require(use.times() > 0, "pattern never cut", pattern);
      BigInteger sum = BigInteger.ZERO;
      for (int n = 0; n < pattern.distinct(); n++) {
        int item = pattern.item(n);
        require(pattern.count(n) > 0, "item without a piece", pattern);
        made[item] += (long) pattern.count(n) * use.times();
        sum = sum.add(product(instance.size(item), pattern.count(n)));
      }
      boolean within = sum.compareTo(BigInteger.valueOf(type.capacity())) <= 0;
      require(within || sum.equals(BigInteger.valueOf(type.flush())), "does not fit", pattern);
      taken[pattern.type()] += use.times();
      cost = cost.add(product(type.cost(), use.times()));
    }
    for (int i = 0; i < made.length; i++) {
      require(
          made[i] == instance.demand(i), "item " + i + " packed " + made[i] + " times", packing);
    }
    for (int t = 0; t < taken.length; t++) {
      boolean there = taken[t] <= instance.types().get(t).available();
      require(there, "stick type " + t + " used " + taken[t] + " times", packing);
    }
    require(cost.equals(BigInteger.valueOf(packing.cost())), "cost is " + cost, packing.cost());
  }

  /**
   * Checks that no pattern of any type weighs more than is claimed.
   *
   * @param weights by item, at least 0
   * @param claimed by type, the most that one stick carries
   * @param exact whether some pattern must weigh just that
   * @return whether every type could be checked
   * @throws IllegalStateException when a claim is wrong
   */
  public boolean carried(long[] weights, long[] claimed, boolean exact) {
    boolean all = true;
    for (int t = 0; t < claimed.length; t++) {
      Long heaviest = heaviest(weights, t);
      if (heaviest == null) {
        all = false;
      } else {
        require(claimed[t] >= heaviest, "type " + t + " carries " + heaviest, claimed[t]);
        require(!exact || claimed[t] == heaviest, "type " + t + " carries " + heaviest, claimed[t]);
      }
    }
    return all;
  }

  /**
   * Checks a bound by duality: with y = weights · times / over on each piece, a stick of type t
   * costs at least its heaviest pattern less a charge, and the bound may not exceed what the pieces
   * are worth less the charges of all sticks there are.
   *
   * @return whether every type could be checked
   * @throws IllegalStateException when the bound does not follow
   */
  public boolean dual(long[] weights, BigInteger times, BigInteger over, long bound) {
    BigInteger value = BigInteger.ZERO;
    for (int i = 0; i < weights.length; i++) {
      require(weights[i] >= 0, "negative weight", weights[i]);
      value = value.add(product(weights[i], instance.demand(i)).multiply(times));
    }
    for (int t = 0; t < instance.types().size(); t++) {
      StickType type = instance.types().get(t);
      long sticks = Math.min(type.available(), instance.pieces());
      if (sticks == 0) {
        continue;
      }
      Long heaviest = heaviest(weights, t);
      if (heaviest == null) {
        return false;
      }
      BigInteger charge =
          BigInteger.valueOf(heaviest)
              .multiply(times)
              .subtract(BigInteger.valueOf(type.cost()).multiply(over));
      if (charge.signum() > 0) {
        value = value.subtract(charge.multiply(BigInteger.valueOf(sticks)));
      }
    }
    // Whole costs: the bound may be the value rounded up, so bound − 1 stays below the value.
    boolean follows =
        bound <= 0 || BigInteger.valueOf(bound - 1).multiply(over).compareTo(value) < 0;
    require(follows, "only " + value + " / " + over + " follows from the duals", bound);
    return true;
  }

  /**
   * Checks that no pattern of a type is worth more than claimed, by going through all of them.
   * Serves where worth is no sum over pieces, as with cuts and branchings.
   *
   * @param worth the worth of a pattern given by its counts by item; {@link Long#MIN_VALUE} for one
   *     that is forbidden
   * @return whether there were few enough to go through
   * @throws IllegalStateException when a pattern is worth more
   */
  public boolean patterns(int type, ToLongFunction<int[]> worth, long claimed) {
    Walk walk = new Walk(instance.types().get(type), worth);
    if (!walk.from(0, 0)) {
      return false;
    }
    require(walk.best <= claimed, "type " + type + ": a pattern is worth " + walk.best, claimed);
    return true;
  }

  /**
   * Checks a bound against the optimum itself.
   *
   * @return whether the instance is small enough
   * @throws IllegalStateException when a packing costs less
   */
  public boolean bound(long bound) {
    Long optimum = optimum();
    if (optimum == null) {
      return false;
    }
    require(bound <= optimum, "the optimum is " + optimum, bound);
    return true;
  }

  /** Returns the weight of the heaviest pattern, or {@code null} where that is too much work. */
  private @Nullable Long heaviest(long[] weights, int t) {
    StickType type = instance.types().get(t);
    double steps = (double) (type.reach() + 1) * instance.pieces();
    if (steps <= MOST_TABLE_STEPS) {
      return byTable(weights, type);
    }
    Walk walk =
        new Walk(
            type,
            counts -> {
              long sum = 0;
              for (int i = 0; i < counts.length; i++) {
                sum = Math.addExact(sum, Math.multiplyExact(weights[i], (long) counts[i]));
              }
              return sum;
            });
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

  /**
   * Returns the least cost of all packings, {@link PackingSolver.Outcome#INFEASIBLE} where there is
   * none, or {@code null} where it is too much work: the least cost of every set of pieces, one
   * stick after the other.
   */
  private @Nullable Long optimum() {
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

  private static BigInteger product(long a, long b) {
    return BigInteger.valueOf(a).multiply(BigInteger.valueOf(b));
  }

  private void require(boolean holds, String otherwise, Object claimed) {
    if (!holds) {
      throw new IllegalStateException(
          "claimed " + claimed + ", but " + otherwise + ", of " + instance);
    }
  }
}
