package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.planning.packing.PackingSolver;
import org.kerftally.daemon.planning.packing.PatternOracle;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Holds whole plans against CP-SAT over all patterns that the cut rules allow: several lengths in
 * limited number at odd costs, offcuts, a stick in the saw, kerf, trim, tail and sliver rule.
 */
class PlannerOracleTest {

  private static final int JOBS = 120;

  @Test
  void meetsTheOptimumOfAnotherSolverWithEveryRuleOfTheSaw() {
    int proven = 0;
    int lacking = 0;
    for (long seed = 0; seed < JOBS; seed++) {
      PlanRequest request = request(seed);
      CutPlan plan = new Planner().plan(request, () -> false);
      long optimum = oracle(request).optimum();
      String text = "seed " + seed + ", optimum " + optimum + ": " + plan + " " + request;
      if (optimum == PackingSolver.Outcome.INFEASIBLE) {
        assertThat(plan.shortages()).as(text).isNotEmpty();
        lacking++;
        continue;
      }
      BigDecimal best = BigDecimal.valueOf(optimum);
      if (plan.shortages().isEmpty()) {
        assertThat(plan.cost()).as(text).isGreaterThanOrEqualTo(best);
        assertThat(plan.bound()).as(text).isLessThanOrEqualTo(best);
      }
      if (plan.proven()) {
        assertThat(plan.shortages()).as(text).isEmpty();
        assertThat(plan.cost()).as(text).isEqualByComparingTo(best);
        proven++;
      }
    }
    assertThat(proven).as("proven plans").isGreaterThan((JOBS - lacking) * 9 / 10);
    assertThat(lacking).as("jobs without a full plan").isLessThan(JOBS / 2);
  }

  private static PlanRequest request(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    boolean tail = random.nextInt(3) == 0;
    Requests requests =
        new Requests()
            .rules(
                Requests.rules(
                    random.nextInt(0, 4),
                    random.nextBoolean() ? 0 : random.nextInt(1, 9),
                    tail ? random.nextInt(1, 15) : 0,
                    random.nextBoolean()));
    TreeSet<Integer> lengths = new TreeSet<>();
    int parts = random.nextInt(3, 7);
    while (lengths.size() < parts) {
      lengths.add(random.nextInt(14, 80));
    }
    for (int length : lengths) {
      requests.part("p" + length, length, random.nextInt(1, 8));
    }
    requests.sticks(random.nextInt(90, 130), null, String.valueOf(random.nextInt(20, 40)));
    for (int n = random.nextInt(3); n > 0; n--) {
      String cost = String.valueOf(random.nextInt(10, 45));
      requests.sticks(random.nextInt(60, 140), random.nextInt(1, 6), cost);
    }
    for (int n = random.nextInt(4); n > 0; n--) {
      String cost = String.valueOf(random.nextInt(0, 12));
      requests.sticks(random.nextInt(30, 90), 1, cost, StickKind.OFFCUT, "R" + n);
    }
    if (random.nextInt(4) == 0) {
      requests.sticks(random.nextInt(20, 90), 1, "0", StickKind.IN_SAW, null);
    }
    return requests.request();
  }

  private static PatternOracle oracle(PlanRequest request) {
    List<Integer> demands = request.parts().stream().map(Part::quantity).toList();
    List<PatternOracle.Kind> kinds = new ArrayList<>();
    for (StockItem item : request.stock()) {
      List<List<Integer>> patterns = new ArrayList<>();
      extend(request, item, new ArrayList<>(), patterns);
      Integer quantity = item.quantity();
      long available = quantity == null ? 1_000 : quantity;
      long cost = Objects.requireNonNull(item.cost()).longValueExact();
      kinds.add(new PatternOracle.Kind(cost, available, patterns));
    }
    return new PatternOracle(demands, kinds);
  }

  private static void extend(
      PlanRequest request, StockItem item, List<Integer> counts, List<List<Integer>> patterns) {
    List<Part> parts = request.parts();
    if (counts.size() == parts.size()) {
      if (fits(request, item, counts)) {
        patterns.add(List.copyOf(counts));
      }
      return;
    }
    for (int n = 0; n <= parts.get(counts.size()).quantity(); n++) {
      counts.add(n);
      if (sum(parts, counts).nm() <= item.length().nm()) {
        extend(request, item, counts, patterns);
      }
      counts.remove(counts.size() - 1);
    }
  }

  private static Length sum(List<Part> parts, List<Integer> counts) {
    Length sum = Length.ZERO;
    for (int p = 0; p < counts.size(); p++) {
      sum = sum.plus(parts.get(p).length().times(counts.get(p)));
    }
    return sum;
  }

  private static boolean fits(PlanRequest request, StockItem item, List<Integer> counts) {
    CutRules rules = request.defaultRules();
    int pieces = counts.stream().mapToInt(Integer::intValue).sum();
    Length trim = item.kind() == StickKind.IN_SAW ? Length.ZERO : rules.leadTrim();
    Length rest = rules.remainder(item.length(), trim, sum(request.parts(), counts), pieces);
    return pieces > 0 && rules.fits(rest);
  }
}
