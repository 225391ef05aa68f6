package org.kerftally.daemon.planning.packing;

import java.math.BigInteger;
import java.util.function.ToLongFunction;

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

  private final Instance instance;
  private final SlowPricing pricing;
  private final SlowOptimum optimum;

  /** Prepares to check what is claimed of one instance. */
  public Audit(Instance instance) {
    this.instance = instance;
    this.pricing = new SlowPricing(instance);
    this.optimum = new SlowOptimum(instance);
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
      Long heaviest = pricing.heaviest(weights, t);
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
      Long heaviest = pricing.heaviest(weights, t);
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
    Long most = pricing.most(type, worth);
    if (most == null) {
      return false;
    }
    require(most <= claimed, "type " + type + ": a pattern is worth " + most, claimed);
    return true;
  }

  /**
   * Checks a bound against the optimum itself.
   *
   * @return whether the instance is small enough
   * @throws IllegalStateException when a packing costs less
   */
  public boolean bound(long bound) {
    Long least = optimum.cost();
    if (least == null) {
      return false;
    }
    require(bound <= least, "the optimum is " + least, bound);
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
