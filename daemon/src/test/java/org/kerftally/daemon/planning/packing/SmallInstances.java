package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.kerftally.shared.stock.StickKind;

/** Makes small random instances and finds their true optimum by enumeration. */
final class SmallInstances {

  private SmallInstances() {}

  static Instance of(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    TreeSet<Long> sizes = new TreeSet<>();
    int items = random.nextInt(1, 5);
    while (sizes.size() < items) {
      sizes.add((long) random.nextInt(3, 30));
    }
    long[] falling = sizes.descendingSet().stream().mapToLong(Long::longValue).toArray();
    int[] demands = new int[items];
    for (int i = 0; i < items; i++) {
      demands[i] = random.nextInt(0, 4);
    }
    List<StickType> types = new ArrayList<>();
    int kinds = random.nextInt(1, 4);
    for (int t = 0; t < kinds; t++) {
      int capacity = random.nextInt(15, 50);
      int flush = capacity + random.nextInt(2) * random.nextInt(0, 3);
      int available = random.nextBoolean() ? 12 : random.nextInt(0, 4);
      int cost = random.nextInt(0, 9);
      types.add(new StickType(capacity, flush, available, cost, StickKind.NEW));
    }
    return Instance.of(falling, demands, types);
  }

  /** Returns the least cost of packing everything, or infeasible. */
  static long optimum(Instance instance) {
    Map<List<Integer>, Long> costs = new HashMap<>();
    List<Integer> none = new ArrayList<>();
    for (int i = 0; i < instance.itemCount(); i++) {
      none.add(0);
    }
    costs.put(List.copyOf(none), 0L);
    for (StickType type : instance.types()) {
      List<List<Integer>> patterns = patterns(instance, type);
      for (int n = 0; n < Math.min(type.available(), instance.pieces()); n++) {
        oneMore(instance, patterns, type.cost(), costs);
      }
    }
    List<Integer> all = new ArrayList<>();
    for (int i = 0; i < instance.itemCount(); i++) {
      all.add(instance.demand(i));
    }
    return costs.getOrDefault(all, PackingSolver.Outcome.INFEASIBLE);
  }

  /** Returns every pattern that fits a type, as counts by item. */
  static List<List<Integer>> patterns(Instance instance, StickType type) {
    List<List<Integer>> patterns = new ArrayList<>();
    extend(instance, type, new ArrayList<>(), 0, patterns);
    return patterns;
  }

  private static void extend(
      Instance instance,
      StickType type,
      List<Integer> counts,
      long sum,
      List<List<Integer>> patterns) {
    if (counts.size() == instance.itemCount()) {
      if (type.fits(sum)) {
        patterns.add(List.copyOf(counts));
      }
      return;
    }
    int item = counts.size();
    for (int count = 0; count <= instance.demand(item); count++) {
      counts.add(count);
      extend(instance, type, counts, sum + count * instance.size(item), patterns);
      counts.remove(counts.size() - 1);
    }
  }

  private static void oneMore(
      Instance instance, List<List<Integer>> patterns, long cost, Map<List<Integer>, Long> costs) {
    Map.copyOf(costs)
        .forEach(
            (made, soFar) -> {
              for (List<Integer> pattern : patterns) {
                List<Integer> after = new ArrayList<>();
                boolean wanted = true;
                for (int i = 0; i < pattern.size(); i++) {
                  after.add(made.get(i) + pattern.get(i));
                  wanted &= after.get(i) <= instance.demand(i);
                }
                if (wanted) {
                  costs.merge(after, soFar + cost, Math::min);
                }
              }
            });
  }
}
