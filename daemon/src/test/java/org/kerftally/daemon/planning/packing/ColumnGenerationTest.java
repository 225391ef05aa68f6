package org.kerftally.daemon.planning.packing;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Holds generated relaxations against those over every pattern there is. */
class ColumnGenerationTest {

  private static final double ARTIFICIAL_COST = 10;

  @Test
  void endsAtTheValueOfTheRelaxationOverAllPatterns() {
    int solved = 0;
    for (long seed = 0; seed < 1_500; seed++) {
      Instance instance = SmallInstances.of(seed);
      Master lp = new Master(instance, ARTIFICIAL_COST);
      ColumnGeneration columns = new ColumnGeneration(instance, lp);
      columns.run(Long.MAX_VALUE, 1_000, Effort.endless());
      if (columns.isOptimal() && columns.packsAll()) {
        Master whole = overAllPatterns(instance);
        String text = "seed " + seed + ": " + instance;
        assertThat(columns.value()).as(text).isCloseTo(whole.value(), within(1e-5));
        assertThat(columns.bound()).as(text).isLessThanOrEqualTo(SmallInstances.optimum(instance));
        solved++;
      }
    }
    assertThat(solved).as("relaxations compared").isGreaterThan(300);
  }

  private static Master overAllPatterns(Instance instance) {
    Master whole = new Master(instance, ARTIFICIAL_COST * 1e4);
    assertThat(whole.endExchanges()).isEqualTo(wanted(instance) > 1);
    for (int t = 0; t < instance.types().size(); t++) {
      for (List<Integer> counts : SmallInstances.patterns(instance, instance.types().get(t))) {
        int[] dense = counts.stream().mapToInt(Integer::intValue).toArray();
        whole.add(Pattern.of(instance, t, dense));
      }
    }
    assertThat(whole.solve(Effort.endless())).isTrue();
    assertThat(whole.missing()).isLessThan(1e-6);
    return whole;
  }

  private static long wanted(Instance instance) {
    long wanted = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      wanted += instance.demand(i) > 0 ? 1 : 0;
    }
    return wanted;
  }

  @Test
  void aDiveGoesOnWithWhatIsLeft() {
    for (long seed = 0; seed < 400; seed++) {
      Instance instance = SmallInstances.of(seed);
      Master lp = new Master(instance, ARTIFICIAL_COST);
      ColumnGeneration columns = new ColumnGeneration(instance, lp);
      columns.run(Long.MAX_VALUE, 1_000, Effort.endless());
      List<Master.Amount> solution = columns.solution();
      Remaining left = Remaining.of(instance);
      if (solution.isEmpty() || left.repeats(solution.get(0).pattern()) == 0) {
        continue;
      }
      left.take(solution.get(0).pattern(), 1);
      Master warm = lp.copy();
      warm.restrict(left);
      Instance residue = left.toInstance();
      ColumnGeneration again = new ColumnGeneration(residue, warm);
      again.run(Long.MAX_VALUE, 1_000, Effort.endless());
      Master cold = new Master(residue, warm.artificialCost());
      ColumnGeneration fresh = new ColumnGeneration(residue, cold);
      fresh.run(Long.MAX_VALUE, 1_000, Effort.endless());
      if (again.isOptimal() && fresh.isOptimal() && again.packsAll() && fresh.packsAll()) {
        String text = "seed " + seed + ": " + instance;
        assertThat(again.value()).as(text).isCloseTo(fresh.value(), within(1e-5));
      }
    }
  }
}
