package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.plan.CutPlan;

/** Holds the planner against full enumeration on small jobs. Every failure names its seed. */
class PlannerOptimalityTest {

  private static final int JOBS = 3_200;

  /** What was found over all jobs, to see that the planner proves most of what it finds. */
  private int optimal;

  private int proven;
  private int complete;

  @Test
  void neverBeatsNorOverestimatesTheEnumeratedOptimum() {
    for (long seed = 0; seed < JOBS; seed++) {
      PlanRequest request = seed % 4 == 3 ? SmallJobs.inSixteenths(seed) : SmallJobs.of(seed);
      hold(request, new Planner().plan(request, () -> false), "seed " + seed);
    }
    // On jobs this small the optimum is expected nearly always: a fall below says a search broke.
    assertThat(optimal).as("optimal plans").isGreaterThan(JOBS * 99 / 100);
    assertThat(proven).as("proven plans").isGreaterThan(JOBS * 97 / 100);
    assertThat(complete).as("jobs without a shortage").isBetween(JOBS / 4, JOBS * 9 / 10);
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 1, 5, 50})
  void staysSafeWhereverItIsStopped(int polls) {
    for (long seed = 0; seed < 200; seed++) {
      PlanRequest request = SmallJobs.of(seed);
      int[] left = {polls};
      CutPlan plan = new Planner().plan(request, () -> left[0]-- <= 0);
      hold(request, plan, "seed " + seed + " after " + polls);
    }
  }

  private void hold(PlanRequest request, CutPlan plan, String where) {
    EnumeratedOptimum.Optimum optimum = EnumeratedOptimum.of(request);
    Map<String, @Nullable Integer> missing = new HashMap<>();
    plan.shortages().forEach(s -> missing.merge(s.part(), s.missing(), Integer::sum));
    List<Integer> made = EnumeratedOptimum.made(request, missing);
    boolean asMany = made.equals(optimum.madeByPriority());
    BigDecimal best = BigDecimal.valueOf(optimum.cost());
    String text = where + ": " + optimum + " " + plan + " " + request;

    assertThat(isAtMost(made, optimum.madeByPriority())).as(text).isTrue();
    if (asMany) {
      assertThat(plan.cost()).as(text).isGreaterThanOrEqualTo(best);
      assertThat(plan.bound()).as(text).isLessThanOrEqualTo(best);
    }
    if (plan.proven()) {
      assertThat(asMany).as(text).isTrue();
      assertThat(plan.cost()).as(text).isEqualByComparingTo(best);
      proven++;
    }
    optimal += asMany && plan.cost().compareTo(best) == 0 ? 1 : 0;
    complete += plan.shortages().isEmpty() ? 1 : 0;
  }

  private static boolean isAtMost(List<Integer> made, List<Integer> most) {
    for (int n = 0; n < made.size(); n++) {
      if (!made.get(n).equals(most.get(n))) {
        return made.get(n) < most.get(n);
      }
    }
    return true;
  }
}
