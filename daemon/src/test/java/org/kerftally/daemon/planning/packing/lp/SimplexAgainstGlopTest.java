package org.kerftally.daemon.planning.packing.lp;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.google.ortools.Loader;
import com.google.ortools.linearsolver.MPConstraint;
import com.google.ortools.linearsolver.MPSolver;
import com.google.ortools.linearsolver.MPVariable;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Holds the simplex, going on from basis to basis, against GLOP of OR-Tools, which begins anew each
 * time: on programs of the shape of cutting stock, too large for exact arithmetic.
 */
class SimplexAgainstGlopTest {

  private static final int STEPS = 25;
  private static final int CAPACITY = 1_000;
  private static final double CLOSE = 1e-5;

  private final List<int[]> patterns = new ArrayList<>();
  private final List<Double> costs = new ArrayList<>();
  private final List<Boolean> forbidden = new ArrayList<>();
  private final Simplex simplex = new Simplex();

  @ParameterizedTest
  @ValueSource(ints = {10, 30, 60})
  void agreesAfterEveryChange(int items) {
    SplittableRandom random = new SplittableRandom(items);
    int[] sizes = random.ints(items, 60, 500).toArray();
    double[] sides = new double[items + 1];
    for (int i = 0; i < items; i++) {
      sides[i] = random.nextInt(1, 40);
      simplex.addRow(Simplex.Sense.AT_LEAST, sides[i], new int[0], new double[0]);
    }
    // At most so many sticks of the cheap kind.
    sides[items] = 5;
    simplex.addRow(Simplex.Sense.AT_MOST, sides[items], new int[0], new double[0]);
    for (int i = 0; i < items; i++) {
      int[] single = new int[items + 1];
      single[i] = CAPACITY / sizes[i];
      add(single, 1);
    }
    for (int step = 0; step < STEPS; step++) {
      for (int n = 0; n < items / 3; n++) {
        boolean cheap = random.nextInt(4) == 0;
        add(filled(random, sizes, cheap), cheap ? 0.7 : 1);
      }
      int row = random.nextInt(items + 1);
      sides[row] = row == items ? random.nextInt(0, 9) : random.nextInt(0, 40);
      simplex.setSide(row, sides[row]);
      int column = items + random.nextInt(patterns.size() - items);
      forbidden.set(column, random.nextInt(3) > 0);
      simplex.setForbidden(column, forbidden.get(column));

      Simplex.End end = simplex.solve(units -> false);

      assertThat(end).as("%d items, step %d", items, step).isEqualTo(Simplex.End.OPTIMAL);
      assertThat(simplex.value())
          .as("%d items, step %d", items, step)
          .isCloseTo(glop(sides), within(CLOSE));
    }
  }

  private static int[] filled(SplittableRandom random, int[] sizes, boolean cheap) {
    int[] pattern = new int[sizes.length + 1];
    int left = CAPACITY;
    for (int tries = 0; tries < 12; tries++) {
      int i = random.nextInt(sizes.length);
      if (sizes[i] <= left) {
        pattern[i]++;
        left -= sizes[i];
      }
    }
    pattern[sizes.length] = cheap ? 1 : 0;
    return pattern;
  }

  private void add(int[] pattern, double cost) {
    int[] rows = new int[pattern.length];
    double[] values = new double[pattern.length];
    int entries = 0;
    for (int r = 0; r < pattern.length; r++) {
      if (pattern[r] > 0) {
        rows[entries] = r;
        values[entries++] = pattern[r];
      }
    }
    simplex.addColumn(cost, Arrays.copyOf(rows, entries), Arrays.copyOf(values, entries));
    patterns.add(pattern);
    costs.add(cost);
    forbidden.add(false);
  }

  private double glop(double[] sides) {
    Loader.loadNativeLibraries();
    MPSolver solver = MPSolver.createSolver("GLOP");
    double any = MPSolver.infinity();
    MPConstraint[] rows = new MPConstraint[sides.length];
    for (int r = 0; r < sides.length; r++) {
      boolean last = r == sides.length - 1;
      rows[r] = solver.makeConstraint(last ? -any : sides[r], last ? sides[r] : any);
    }
    for (int j = 0; j < patterns.size(); j++) {
      MPVariable amount = solver.makeNumVar(0, forbidden.get(j) ? 0 : any, "");
      solver.objective().setCoefficient(amount, costs.get(j));
      for (int r = 0; r < sides.length; r++) {
        rows[r].setCoefficient(amount, patterns.get(j)[r]);
      }
    }
    solver.objective().setMinimization();
    assertThat(solver.solve()).isEqualTo(MPSolver.ResultStatus.OPTIMAL);
    return solver.objective().value();
  }
}
