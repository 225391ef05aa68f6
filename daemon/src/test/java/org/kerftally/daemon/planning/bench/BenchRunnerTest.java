package org.kerftally.daemon.planning.bench;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.kerftally.daemon.planning.Planner;
import org.kerftally.daemon.planning.packing.AuditedSolver;
import org.kerftally.daemon.planning.packing.ColumnSolver;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.daemon.planning.packing.Instance;
import org.kerftally.daemon.planning.packing.Packing;
import org.kerftally.daemon.planning.packing.PackingSolver;

/** Holds plans and bounds of generated instances against each other. */
class BenchRunnerTest {

  private static final long SEED = 20_251_125;
  private static final int INSTANCES = 3;

  /** Each look at the clock is a millisecond: the limit is a number of looks, on any machine. */
  private static BenchRunner runner(PackingSolver solver, long looks) {
    long[] clock = {0};
    return new BenchRunner(solver, new Planner(), () -> clock[0] += 1_000_000, looks * 1_000_000);
  }

  @ParameterizedTest
  @EnumSource
  void findsNoFaultInPlansAndBoundsOfGeneratedInstances(GeneratedClass made) {
    BenchRunner runner = runner(new AuditedSolver(new ColumnSolver()), 2_000);
    ClassTable table = new ClassTable();
    for (int n = 0; n < INSTANCES; n++) {
      BenchRow row = runner.run(made.make(SEED, n));
      assertThat(row.faults()).as(row.line()).isEmpty();
      assertThat(row.cost()).as(row.line()).isNotNull();
      table.add(row);
    }
    assertThat(table.wrong()).isZero();
    assertThat(table.text()).contains(made.key());
  }

  @ParameterizedTest
  @EnumSource
  void makesTheSameInstanceFromTheSameSeedAndAnotherFromAnother(GeneratedClass made) {
    String one = made.make(SEED, 1).toString();
    assertThat(made.make(SEED, 1).toString()).isEqualTo(one);
    assertThat(made.make(SEED + 1, 1).toString()).isNotEqualTo(one);
  }

  /** Claims whatever it is told to. */
  private record Liar(@Nullable Packing packing, long bound) implements PackingSolver {
    @Override
    public Outcome solve(Instance instance, @Nullable Packing start, Effort effort) {
      return new Outcome(packing, bound);
    }
  }

  private static final Instance FOUR_HALVES = instance("1\n10\n5 4\n");
  private static final Instance FIVE_HALVES = instance("1\n10\n5 5\n");

  private static Instance instance(String text) {
    return ((InstanceText.Good) InstanceText.read("test", text)).instance();
  }

  private static Packing packed(Instance instance) {
    Effort effort = new Effort(() -> false, 1L << 40);
    return Objects.requireNonNull(new ColumnSolver().solve(instance, null, effort).packing());
  }

  private static List<String> faults(PackingSolver solver, int optimum) {
    BigDecimal known = BigDecimal.valueOf(optimum);
    return runner(solver, 9).run(new BenchCase.Packed("x", "y", FOUR_HALVES, known)).faults();
  }

  @Test
  void callsAWrongPlanOrBoundWrong() {
    Packing two = packed(FOUR_HALVES);
    assertThat(faults(new Liar(two, 2), 2)).isEmpty();
    assertThat(faults(new Liar(two, 1), 2)).isEmpty();
    assertThat(faults(new Liar(two, 3), 2)).anyMatch(f -> f.contains("bound above cost"));
    assertThat(faults(new Liar(null, 3), 2)).anyMatch(f -> f.contains("above the known optimum"));
    assertThat(faults(new Liar(null, PackingSolver.Outcome.INFEASIBLE), 2))
        .anyMatch(f -> f.contains("said to have no plan"));
    assertThat(faults(new Liar(two, 2), 3)).anyMatch(f -> f.contains("below the known optimum"));
    assertThat(faults(new Liar(packed(FIVE_HALVES), 2), 2)).anyMatch(f -> f.contains("item 0"));
  }

  @Test
  void takesPercentilesByNearestRank() {
    double[] seconds = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
    assertThat(ClassTable.percentile(seconds, 50)).isEqualTo(5);
    assertThat(ClassTable.percentile(seconds, 95)).isEqualTo(10);
    assertThat(ClassTable.percentile(seconds, 100)).isEqualTo(10);
    assertThat(ClassTable.percentile(new double[] {7}, 50)).isEqualTo(7);
    assertThat(ClassTable.percentile(new double[0], 50)).isZero();
  }
}
