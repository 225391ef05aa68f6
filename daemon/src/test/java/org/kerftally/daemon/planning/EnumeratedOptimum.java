package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Finds the true optimum of a small request by going through everything that can be cut: stick by
 * stick, for every state of what is made so far, every pattern. Shares nothing with the planner.
 *
 * <p>Parts must differ in length, stated costs must be whole.
 */
final class EnumeratedOptimum {

  private final PlanRequest request;
  private final Map<List<Integer>, Long> costByMade = new HashMap<>();

  /** The most pieces made by priority, the first first, and the least cost for that. */
  record Optimum(List<Integer> madeByPriority, long cost) {}

  private EnumeratedOptimum(PlanRequest request) {
    this.request = request;
  }

  static Optimum of(PlanRequest request) {
    return new EnumeratedOptimum(request).find();
  }

  private Optimum find() {
    List<Integer> none = request.parts().stream().map(part -> 0).toList();
    costByMade.put(none, 0L);
    int pieces = request.parts().stream().mapToInt(Part::quantity).sum();
    for (StockItem item : request.stock()) {
      List<List<Integer>> patterns = new ArrayList<>();
      patterns(item, 0, new ArrayList<>(), patterns);
      Integer quantity = item.quantity();
      int sticks = quantity == null ? pieces : Math.min(quantity, pieces);
      for (int n = 0; n < sticks; n++) {
        if (!cutOneMore(patterns, cost(item))) {
          break;
        }
      }
    }
    Optimum best = null;
    for (Map.Entry<List<Integer>, Long> entry : costByMade.entrySet()) {
      Optimum other = new Optimum(byPriority(entry.getKey()), entry.getValue());
      best = best == null || isBetter(other, best) ? other : best;
    }
    return Objects.requireNonNull(best);
  }

  private void patterns(
      StockItem item, int at, List<Integer> counts, List<List<Integer>> patterns) {
    if (at == request.parts().size()) {
      if (fits(item, counts)) {
        patterns.add(List.copyOf(counts));
      }
      return;
    }
    for (int count = 0; count <= request.parts().get(at).quantity(); count++) {
      counts.add(count);
      patterns(item, at + 1, counts, patterns);
      counts.remove(counts.size() - 1);
    }
  }

  private boolean fits(StockItem item, List<Integer> counts) {
    CutRules rules = request.defaultRules();
    Length sum = Length.ZERO;
    int pieces = 0;
    for (int p = 0; p < counts.size(); p++) {
      sum = sum.plus(request.parts().get(p).length().times(counts.get(p)));
      pieces += counts.get(p);
    }
    Length trim = item.kind() == StickKind.IN_SAW ? Length.ZERO : rules.leadTrim();
    return pieces > 0 && rules.fits(rules.remainder(item.length(), trim, sum, pieces));
  }

  /** Cuts one more stick in every way there is; tells whether anything came of it. */
  private boolean cutOneMore(List<List<Integer>> patterns, long cost) {
    Map<List<Integer>, Long> before = Map.copyOf(costByMade);
    before.forEach(
        (made, soFar) -> {
          for (List<Integer> pattern : patterns) {
            List<Integer> after = new ArrayList<>();
            boolean wanted = true;
            for (int p = 0; p < pattern.size(); p++) {
              int count = made.get(p) + pattern.get(p);
              after.add(count);
              wanted &= count <= request.parts().get(p).quantity();
            }
            if (wanted) {
              costByMade.merge(after, soFar + cost, Math::min);
            }
          }
        });
    return !before.equals(costByMade);
  }

  private List<Integer> byPriority(List<Integer> made) {
    TreeSet<Integer> priorities = new TreeSet<>();
    request.parts().forEach(part -> priorities.add(part.priority()));
    List<Integer> counts = new ArrayList<>();
    for (int priority : priorities) {
      int count = 0;
      for (int p = 0; p < made.size(); p++) {
        count += request.parts().get(p).priority() == priority ? made.get(p) : 0;
      }
      counts.add(count);
    }
    return counts;
  }

  private static boolean isBetter(Optimum one, Optimum other) {
    for (int n = 0; n < one.madeByPriority.size(); n++) {
      int more = one.madeByPriority.get(n) - other.madeByPriority.get(n);
      if (more != 0) {
        return more > 0;
      }
    }
    return one.cost < other.cost;
  }

  /** The cost of a stick; without any cost stated, 1 for a single length, else its millimetres. */
  private long cost(StockItem item) {
    BigDecimal stated = item.cost();
    if (stated != null) {
      return stated.longValueExact();
    }
    if (item.kind() == StickKind.IN_SAW) {
      return 0;
    }
    long lengths =
        request.stock().stream()
            .filter(other -> other.kind() != StickKind.IN_SAW)
            .map(StockItem::length)
            .distinct()
            .count();
    return lengths == 1 ? 1 : item.length().toMm().longValueExact();
  }

  /** Returns how many of the parts a plan leaves unmade, by priority. */
  static List<Integer> made(PlanRequest request, Map<String, @Nullable Integer> missing) {
    List<Integer> made = new ArrayList<>();
    for (Part part : request.parts()) {
      Integer gap = missing.get(part.name());
      made.add(part.quantity() - (gap == null ? 0 : gap));
    }
    return new EnumeratedOptimum(request).byPriority(made);
  }
}
