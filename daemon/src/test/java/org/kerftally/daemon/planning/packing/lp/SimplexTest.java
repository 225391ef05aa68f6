package org.kerftally.daemon.planning.packing.lp;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Holds the sparse simplex against exact arithmetic, warm and cold. Every failure names its seed,
 * which is all there is to repeat it.
 */
class SimplexTest {

  private static final double CLOSE = 1e-6;
  private static final Simplex.Stop NEVER = units -> false;

  @Test
  void solvesManySmallProgramsLikeExactArithmetic() {
    int infeasible = 0;
    for (int seed = 0; seed < 3_000; seed++) {
      ChangingProgram program = new ChangingProgram(seed);
      int rows = 1 + seed % 6;
      for (int r = 0; r < rows; r++) {
        program.addRow();
      }
      for (int j = 0; j < 2 + seed % 9; j++) {
        program.addColumn();
      }
      infeasible += checked(program, "seed " + seed);
    }
    assertThat(infeasible).as("programs without any solution").isBetween(100, 2_900);
  }

  @Test
  void goesOnFromTheLastBasisAfterEveryKindOfChange() {
    for (int seed = 0; seed < 400; seed++) {
      ChangingProgram program = new ChangingProgram(1_000_000 + seed);
      for (int n = 0; n < 6; n++) {
        program.addRow();
        program.addColumn();
        program.addColumn();
      }
      for (int step = 0; step < 40; step++) {
        program.change();
        if (step % 3 != 0) {
          checked(program, "seed " + seed + ", step " + step);
        }
      }
    }
  }

  private static int checked(ChangingProgram program, String what) {
    double exact = program.exact();
    Simplex cold = program.cold();
    for (Simplex simplex : List.of(program.warm(), cold)) {
      String which = what + (simplex.equals(cold) ? " cold" : " warm");
      Simplex.End end = simplex.solve(NEVER);
      if (Double.isNaN(exact)) {
        assertThat(end).as(which).isEqualTo(Simplex.End.INFEASIBLE);
      } else {
        assertThat(end).as(which).isEqualTo(Simplex.End.OPTIMAL);
        assertThat(simplex.value()).as(which).isCloseTo(exact, within(CLOSE));
        assertThat(program.worstViolation(simplex)).as(which).isLessThan(CLOSE);
      }
    }
    return Double.isNaN(exact) ? 1 : 0;
  }

  @ParameterizedTest
  @ValueSource(ints = {20, 60, 200})
  void generatesColumnsForCuttingStockToTheSameValueAsFromCold(int items) {
    SplittableRandom random = new SplittableRandom(items);
    int capacity = 1_000;
    int[] sizes = random.ints(items, 60, 500).toArray();
    Simplex simplex = new Simplex();
    List<int[]> rows = new ArrayList<>();
    List<double[]> values = new ArrayList<>();
    double[] sides = random.ints(items, 1, 30).asDoubleStream().toArray();
    for (int i = 0; i < items; i++) {
      simplex.addRow(Simplex.Sense.AT_LEAST, sides[i], new int[0], new double[0]);
    }
    for (int i = 0; i < items; i++) {
      rows.add(new int[] {i});
      values.add(new double[] {1});
    }
    rows.forEach(row -> simplex.addColumn(1, row, new double[] {1}));
    double worth = 2;
    for (int round = 0; worth > 1 + 1e-9; round++) {
      assertThat(round).as("rounds").isLessThan(3_000);
      assertThat(simplex.solve(NEVER)).isEqualTo(Simplex.End.OPTIMAL);
      int[] counts = bestPattern(sizes, capacity, simplex);
      int[] used = IntStream.range(0, items).filter(i -> counts[i] > 0).toArray();
      double[] entries = Arrays.stream(used).mapToDouble(i -> counts[i]).toArray();
      worth = 0;
      for (int n = 0; n < used.length; n++) {
        worth += entries[n] * simplex.dual(used[n]);
      }
      rows.add(used);
      values.add(entries);
      simplex.addColumn(1, used, entries);
    }
    Simplex cold = new Simplex();
    for (int i = 0; i < items; i++) {
      cold.addRow(Simplex.Sense.AT_LEAST, sides[i], new int[0], new double[0]);
    }
    for (int j = 0; j < rows.size(); j++) {
      cold.addColumn(1, rows.get(j), values.get(j));
    }
    assertThat(cold.solve(NEVER)).isEqualTo(Simplex.End.OPTIMAL);
    assertThat(cold.value()).isCloseTo(simplex.value(), within(CLOSE));
    double size = 0;
    for (int i = 0; i < items; i++) {
      size += sizes[i] * sides[i];
    }
    assertThat(simplex.value()).isGreaterThan(size / capacity - CLOSE);
  }

  /** The heaviest pattern by the duals, by plain dynamic programming. */
  private static int[] bestPattern(int[] sizes, int capacity, Simplex simplex) {
    double[] best = new double[capacity + 1];
    int[] last = new int[capacity + 1];
    for (int s = 1; s <= capacity; s++) {
      best[s] = best[s - 1];
      last[s] = -1;
      for (int i = 0; i < sizes.length; i++) {
        if (sizes[i] <= s && best[s - sizes[i]] + simplex.dual(i) > best[s] + 1e-12) {
          best[s] = best[s - sizes[i]] + simplex.dual(i);
          last[s] = i;
        }
      }
    }
    int[] counts = new int[sizes.length];
    for (int s = capacity; s > 0; ) {
      if (last[s] < 0) {
        s--;
      } else {
        counts[last[s]]++;
        s -= sizes[last[s]];
      }
    }
    return counts;
  }

  @Test
  void stopsWhenToldAndGoesOnLater() {
    ChangingProgram program = new ChangingProgram(7);
    for (int n = 0; n < 8; n++) {
      program.addRow();
      program.addColumn();
      program.addColumn();
      program.addColumn();
    }
    double exact = program.exact();
    assertThat(exact).isNotNaN();
    Simplex simplex = program.cold();
    int solves = 1;
    while (simplex.solve(stopAfter(2)) == Simplex.End.STOPPED) {
      assertThat(solves++).as("solves").isLessThan(100);
    }
    assertThat(solves).isGreaterThan(1);
    assertThat(simplex.value()).isCloseTo(exact, within(CLOSE));
  }

  private static Simplex.Stop stopAfter(int calls) {
    int[] left = {calls};
    return units -> --left[0] < 0;
  }

  @Test
  void answersWithTroubleWhereCostsFallWithoutEnd() {
    Simplex simplex = new Simplex();
    int row = simplex.addRow(Simplex.Sense.AT_LEAST, 1, new int[0], new double[0]);
    simplex.addColumn(-1, new int[] {row}, new double[] {1});
    assertThat(simplex.solve(NEVER)).isEqualTo(Simplex.End.TROUBLE);
  }

  @Test
  void aCopyGoesItsOwnWay() {
    Simplex simplex = new Simplex();
    int row = simplex.addRow(Simplex.Sense.AT_LEAST, 6, new int[0], new double[0]);
    int cheap = simplex.addColumn(1, new int[] {row}, new double[] {2});
    simplex.addColumn(2, new int[] {row}, new double[] {1});
    simplex.solve(NEVER);
    Simplex copy = simplex.copy();
    copy.setForbidden(cheap, true);
    assertThat(copy.solve(NEVER)).isEqualTo(Simplex.End.OPTIMAL);
    assertThat(copy.value()).isCloseTo(12, within(CLOSE));
    assertThat(simplex.solve(NEVER)).isEqualTo(Simplex.End.OPTIMAL);
    assertThat(simplex.value()).isCloseTo(3, within(CLOSE));
    assertThat(simplex.amount(cheap)).isCloseTo(3, within(CLOSE));
  }

  @Test
  void aProgramWithoutRowsIsSolvedAtOnce() {
    Simplex simplex = new Simplex();
    int column = simplex.addColumn(3, new int[0], new double[0]);
    assertThat(simplex.solve(NEVER)).isEqualTo(Simplex.End.OPTIMAL);
    assertThat(simplex.value()).isZero();
    assertThat(simplex.amount(column)).isZero();
  }
}
