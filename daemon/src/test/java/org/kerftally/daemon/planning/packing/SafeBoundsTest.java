package org.kerftally.daemon.planning.packing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.stock.StickKind;

/** Holds every bound by itself against enumeration. Every failure names its seed. */
class SafeBoundsTest {

  private static final int INSTANCES = 1_000;

  private static Effort endless() {
    return new Effort(() -> false, Long.MAX_VALUE);
  }

  @Test
  void neverCountsMoreSticksOfOneLengthThanAreNeeded() {
    int tight = 0;
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance some = SmallInstances.of(seed);
      long reach = 30 + seed % 25;
      Instance one = some.withTypes(List.of(new StickType(reach, reach, 99, 1, StickKind.NEW)));
      long optimum = SmallInstances.optimum(one);
      long bound = LengthBounds.sticks(one, reach);
      assertThat(bound).as("seed %d: %s", seed, one).isLessThanOrEqualTo(optimum);
      tight += bound == optimum ? 1 : 0;
    }
    assertThat(tight).as("bounds that meet the optimum").isGreaterThan(INSTANCES * 9 / 10);
  }

  @Test
  void staysBelowTheOptimumForDualsOfAnyKind() {
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      long optimum = SmallInstances.optimum(instance);
      SplittableRandom random = new SplittableRandom(seed);
      for (int n = 0; n < 8; n++) {
        double[] duals = anyDuals(instance, random, n);
        DualBound dual = DualBound.of(instance, duals);
        Pricer.Priced priced = new TablePricer(instance).price(dual.weights(), endless());
        String text = "seed " + seed + " try " + n + ": " + instance;
        assertThat(dual.cost(priced.carried())).as(text).isLessThanOrEqualTo(optimum);
        if (dual.weighting(priced.carried()).refutes(instance)) {
          assertThat(optimum).as(text).isEqualTo(PackingSolver.Outcome.INFEASIBLE);
        }
      }
    }
  }

  /** Good, wild, huge, tiny and broken duals. */
  private static double[] anyDuals(Instance instance, SplittableRandom random, int kind) {
    double[] duals = new double[instance.itemCount()];
    for (int i = 0; i < duals.length; i++) {
      double share = instance.size(i) / 40.0;
      duals[i] =
          switch (kind) {
            case 0 -> share * 5;
            case 1 -> random.nextDouble() * 9;
            case 2 -> random.nextDouble() * 1e18;
            case 3 -> random.nextDouble() * 1e-12;
            case 4 -> random.nextBoolean() ? Double.NaN : share;
            case 5 -> share * 5 - 2;
            default -> random.nextInt(3) * 4.0;
          };
    }
    return duals;
  }

  @Test
  void selectsNoCheaperSticksThanAPackingNeeds() {
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      if (instance.pieces() == 0) {
        continue;
      }
      long optimum = SmallInstances.optimum(instance);
      List<Weighting> weightings = new ArrayList<>(ArithmeticBounds.of(instance, endless()));
      CoveringBound.Selection selection =
          CoveringBound.cheapest(instance, weightings, PackingSolver.Outcome.INFEASIBLE, endless());
      String text = "seed " + seed + ": " + instance;
      assertThat(selection.cost()).as(text).isLessThanOrEqualTo(optimum);
      CoveringBound.Selection cutOff =
          CoveringBound.cheapest(
              instance,
              weightings,
              PackingSolver.Outcome.INFEASIBLE,
              new Effort(() -> false, seed % 200));
      assertThat(cutOff.cost()).as(text).isLessThanOrEqualTo(optimum);
    }
  }

  @Test
  void leavesAsideWhatAnExcludedSelectionContains() {
    int moved = 0;
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      List<Weighting> weightings = List.of(Weighting.ofSizes(instance));
      long any = PackingSolver.Outcome.INFEASIBLE;
      CoveringBound.Selection first = CoveringBound.cheapest(instance, weightings, any, endless());
      Instance excluded = first.only(instance);
      if (excluded == null) {
        continue;
      }
      CoveringBound.Selection second =
          CoveringBound.cheapest(instance, weightings, List.of(excluded), any, endless());
      Instance other = second.only(instance);
      String text = "seed " + seed + ": " + instance;
      assertThat(second.cost()).as(text).isGreaterThanOrEqualTo(first.cost());
      if (other != null) {
        moved++;
        assertThat(hasMoreOfSome(other, excluded)).as(text).isTrue();
      }
    }
    assertThat(moved).as("instances with another selection").isGreaterThan(INSTANCES / 2);
  }

  private static boolean hasMoreOfSome(Instance one, Instance other) {
    for (int t = 0; t < one.types().size(); t++) {
      if (one.types().get(t).available() > other.types().get(t).available()) {
        return true;
      }
    }
    return false;
  }

  @Test
  void solvesToTheEnumeratedOptimum() {
    ColumnSolver solver = new ColumnSolver();
    int proven = 0;
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      long optimum = SmallInstances.optimum(instance);
      PackingSolver.Outcome outcome = solver.solve(instance, null, endless());
      String text = "seed " + seed + ": " + instance;
      assertThat(outcome.bound()).as(text).isLessThanOrEqualTo(optimum);
      Packing packing = outcome.packing();
      if (packing != null) {
        assertThat(packing.cost()).as(text).isGreaterThanOrEqualTo(optimum);
      }
      proven += outcome.isProven() || outcome.bound() == optimum ? 1 : 0;
    }
    assertThat(proven).as("instances closed").isGreaterThan(INSTANCES * 97 / 100);
  }
}
