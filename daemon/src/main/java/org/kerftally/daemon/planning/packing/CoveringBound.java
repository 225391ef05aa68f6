package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * Finds the cheapest selection of sticks that obeys every {@link Weighting} at hand: a lower bound
 * on the cost of every packing, and a proposal of which sticks to try.
 *
 * <p>Branch and bound over the number of sticks of each type. A branch is cut off where the
 * fractional relaxation of the one leading inequality shows that it costs too much. That is
 * computed in doubles and therefore with a margin far above their error, so that a branch that
 * holds an optimum is never cut: costs are whole numbers, and a branch goes only when its bound
 * exceeds the best known by more than the margin. Where the node limit ends the search, the
 * relaxation at the root still bounds.
 */
final class CoveringBound {

  /** Relative margin; the sums below lose no more than 1e-12 of their value. */
  private static final double MARGIN = 1e-9;

  private static final long MOST_UNITS = 30_000_000;

  private final Instance instance;
  private final List<Weighting> weightings;
  private final List<Instance> excluded;
  private final int leading;
  private final int[] order;
  private final int[] chosen;
  private final long[][] suffixReach;
  private final Effort effort;
  private long bestCost;
  private int @Nullable [] best;
  private boolean complete = true;

  /** Says what the inequalities leave possible. */
  static final class Selection {
    private final long cost;
    private final int @Nullable [] sticks;

    private Selection(long cost, int @Nullable [] sticks) {
      this.cost = cost;
      this.sticks = sticks;
    }

    /**
     * Returns a cost below which no selection obeys them; {@link PackingSolver.Outcome#INFEASIBLE}
     * when none does at any cost.
     */
    long cost() {
      return cost;
    }

    /**
     * Returns the instance with only the sticks of the cheapest selection, at no cost, or {@code
     * null} when none was found below the limits on cost and effort.
     */
    @Nullable Instance only(Instance instance) {
      if (sticks == null) {
        return null;
      }
      List<StickType> types = new ArrayList<>();
      for (int t = 0; t < sticks.length; t++) {
        types.add(instance.types().get(t).withAvailable(sticks[t]).free());
      }
      return instance.withTypes(types);
    }
  }

  private CoveringBound(
      Instance instance,
      List<Weighting> weightings,
      List<Instance> excluded,
      long upper,
      Effort effort) {
    this.instance = instance;
    this.weightings = weightings;
    this.excluded = excluded;
    this.effort = effort.part(MOST_UNITS);
    this.bestCost = upper;
    this.leading = leading();
    this.order = byValue(weightings.get(leading));
    this.chosen = new int[order.length];
    this.suffixReach = suffixReach();
  }

  /**
   * Finds the cheapest selection that costs less than {@code upper}.
   *
   * @param upper the limit; when nothing below it obeys, the cost returned is {@code upper}
   */
  static Selection cheapest(
      Instance instance, List<Weighting> weightings, long upper, Effort effort) {
    return cheapest(instance, weightings, List.of(), upper, effort);
  }

  /**
   * Finds the cheapest selection that costs less than {@code upper} and has of some type more
   * sticks than each of the excluded ones. Its cost is no bound on packings unless none is
   * excluded.
   */
  static Selection cheapest(
      Instance instance,
      List<Weighting> weightings,
      List<Instance> excluded,
      long upper,
      Effort effort) {
    for (Weighting weighting : weightings) {
      if (weighting.refutes(instance)) {
        return new Selection(PackingSolver.Outcome.INFEASIBLE, null);
      }
    }
    CoveringBound search = new CoveringBound(instance, weightings, excluded, upper, effort);
    long[] missing = weightings.stream().mapToLong(Weighting::wanted).toArray();
    long root = safeCeil(search.relaxedFrom(0, missing));
    search.branch(0, 0, missing);
    return search.complete
        ? new Selection(search.bestCost, search.best)
        : new Selection(Math.min(root, search.bestCost), search.best);
  }

  /** Picks the inequality whose fractional relaxation bounds best. */
  private int leading() {
    int best = 0;
    double bestValue = -1;
    for (int w = 0; w < weightings.size(); w++) {
      Weighting weighting = weightings.get(w);
      double value = relaxed(weighting, byValue(weighting), 0, weighting.wanted());
      if (value > bestValue) {
        bestValue = value;
        best = w;
      }
    }
    return best;
  }

  private int[] byValue(Weighting weighting) {
    return IntStream.range(0, instance.types().size())
        .boxed()
        .sorted(
            Comparator.comparingDouble(
                type -> (double) instance.types().get(type).cost() / weighting.carriedBy(type)))
        .mapToInt(Integer::intValue)
        .toArray();
  }

  /**
   * The least cost to carry {@code missing} by the types from {@code from} on, in parts of sticks.
   */
  private double relaxed(Weighting weighting, int[] types, int from, long missing) {
    double cost = 0;
    double left = missing;
    for (int n = from; n < types.length && left > 0; n++) {
      double carried = weighting.carriedBy(types[n]);
      StickType type = instance.types().get(types[n]);
      if (carried > 0 && type.available() > 0) {
        double sticks = Math.min(type.available(), left / carried);
        cost += sticks * type.cost();
        left -= sticks * carried;
      }
    }
    return cost;
  }

  private long[][] suffixReach() {
    long[][] reach = new long[weightings.size()][order.length + 1];
    for (int w = 0; w < reach.length; w++) {
      for (int n = order.length - 1; n >= 0; n--) {
        Weighting weighting = weightings.get(w);
        long have = weighting.wanted() - reach[w][n + 1];
        int available = instance.types().get(order[n]).available();
        reach[w][n] =
            have <= 0
                ? weighting.wanted()
                : weighting.wanted() - weighting.lessAfter(have, order[n], available);
      }
    }
    return reach;
  }

  private void branch(int at, long cost, long[] missing) {
    long most = 0;
    for (int w = 0; w < missing.length; w++) {
      if (missing[w] > suffixReach[w][at]) {
        return;
      }
      most = Math.max(most, missing[w]);
    }
    if (effort.spend(20L * (missing.length + order.length))) {
      complete = false;
    }
    if (!complete) {
      return;
    }
    if (most == 0 && excluded.stream().noneMatch(other -> contains(other, at))) {
      if (cost < bestCost) {
        bestCost = cost;
        best = new int[order.length];
        for (int n = 0; n < at; n++) {
          best[order[n]] = chosen[n];
        }
      }
      return;
    }
    if (at == order.length || cost + safeCeil(relaxedFrom(at, missing)) >= bestCost) {
      return;
    }
    descend(at, cost, missing);
  }

  /**
   * Tries every number of the type at hand, the most first. Types come by falling value in the
   * leading inequality, so fewer of this one only makes the relaxation dearer, once no more are
   * taken than that inequality asks for; then the first number that is too dear ends the row.
   */
  private void descend(int at, long cost, long[] missing) {
    int type = order[at];
    int top = useful(at, missing);
    int bottom = at == order.length - 1 ? top : 0;
    for (int number = top; number >= bottom && complete; number--) {
      long[] after = missing.clone();
      for (int w = 0; w < after.length; w++) {
        after[w] = weightings.get(w).lessAfter(missing[w], type, number);
      }
      chosen[at] = number;
      long costAfter = cost + number * instance.types().get(type).cost();
      boolean dear = costAfter + safeCeil(relaxedFrom(at + 1, after)) >= bestCost;
      if (!dear) {
        branch(at + 1, costAfter, after);
      } else if (after[leading] > 0) {
        return;
      }
    }
  }

  /** Tells whether what is chosen of the first types is no more than another selection has. */
  private boolean contains(Instance other, int at) {
    for (int n = 0; n < at; n++) {
      if (chosen[n] > other.types().get(order[n]).available()) {
        return false;
      }
    }
    return true;
  }

  private double relaxedFrom(int at, long[] missing) {
    return relaxed(weightings.get(leading), order, at, missing[leading]);
  }

  /** The most sticks of a type that can be of use. */
  private int useful(int at, long[] missing) {
    int type = order[at];
    long useful = 0;
    for (Instance other : excluded) {
      if (contains(other, at)) {
        useful = Math.max(useful, other.types().get(type).available() + 1L);
      }
    }
    for (int w = 0; w < missing.length; w++) {
      long carried = weightings.get(w).carriedBy(type);
      if (missing[w] > 0 && carried > 0) {
        useful = Math.max(useful, (missing[w] - 1) / carried + 1);
      }
    }
    return (int) Math.min(useful, instance.types().get(type).available());
  }

  /** Rounds a cost up to a whole number, downwards safe against the error of its computation. */
  private static long safeCeil(double cost) {
    return (long) Math.ceil(cost * (1 - MARGIN) - MARGIN);
  }
}
