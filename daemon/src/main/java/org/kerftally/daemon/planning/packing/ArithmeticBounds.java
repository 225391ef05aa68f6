package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.List;

/**
 * Gives the covering inequalities that need no linear programming.
 *
 * <p>Always the one of plain sizes. With one stick type also {@link LengthBounds}, as "so many
 * sticks". With several, weights by dual-feasible functions over each stick's reach; since those
 * functions are feasible for one reach only, what a stick of each type carries is priced exactly,
 * which makes the inequality safe whatever the function.
 */
final class ArithmeticBounds {

  /** The most reaches whose functions are tried. */
  private static final int MOST_REACHES = 4;

  private static final int MOST_K = 3;

  /** The most cells to fill for one inequality. */
  private static final long MOST_CELLS = 4_000_000;

  private ArithmeticBounds() {}

  static List<Weighting> of(Instance instance, Effort effort) {
    List<Weighting> weightings = new ArrayList<>();
    weightings.add(Weighting.ofSizes(instance));
    List<StickType> types = instance.types();
    if (types.size() == 1) {
      long sticks = LengthBounds.sticks(instance, types.get(0).reach());
      weightings.add(new Weighting(sticks, new long[] {1}));
    } else if (TablePricer.cells(instance) <= MOST_CELLS) {
      Pricer pricer = new TablePricer(instance);
      types.stream()
          .mapToLong(StickType::reach)
          .filter(reach -> reach > 0)
          .distinct()
          .sorted()
          .skip(Math.max(0, types.size() - MOST_REACHES))
          .forEach(reach -> addAll(instance, reach, pricer, weightings, effort));
    }
    return weightings;
  }

  private static void addAll(
      Instance instance, long reach, Pricer pricer, List<Weighting> weightings, Effort effort) {
    for (int k = 1; k <= MOST_K; k++) {
      long[] weights = new long[instance.itemCount()];
      for (int i = 0; i < weights.length; i++) {
        weights[i] = steps(instance.sizes[i], k, reach);
      }
      weightings.add(weighting(instance, weights, pricer.price(weights, effort)));
    }
  }

  /** u(k) of a size, times k (k + 1). */
  private static long steps(long size, int k, long reach) {
    long multiple = size * (k + 1);
    long whole = multiple / reach;
    return multiple % reach == 0 ? whole * k : whole * (k + 1);
  }

  private static Weighting weighting(Instance instance, long[] weights, Pricer.Priced priced) {
    long wanted = 0;
    for (int i = 0; i < weights.length; i++) {
      wanted += weights[i] * instance.demands[i];
    }
    return new Weighting(wanted, priced.carried().all());
  }
}
