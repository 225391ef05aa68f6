package org.kerftally.daemon.planning.packing;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigInteger;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Holds pricers, bounds and the solver against the audit, and the audit against enumeration. */
class AuditTest {

  private static final int INSTANCES = 500;

  private static Effort endless() {
    return new Effort(() -> false, Long.MAX_VALUE);
  }

  @Test
  void agreesWithPricersAndCatchesAClaimThatIsOneTooLow() {
    int caught = 0;
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      Audit audit = new Audit(instance);
      SplittableRandom random = new SplittableRandom(seed);
      long[] weights = new long[instance.itemCount()];
      for (int i = 0; i < weights.length; i++) {
        weights[i] = random.nextLong(1L << 30);
      }
      long[] claimed = Pricer.of(instance).price(weights, endless()).carried().all();
      assertThat(audit.carried(weights, claimed, true)).as("seed %d", seed).isTrue();
      for (int t = 0; t < claimed.length; t++) {
        long[] low = claimed.clone();
        low[t]--;
        if (claimed[t] > 0) {
          assertThatThrownBy(() -> audit.carried(weights, low, false)).hasMessageContaining("type");
          caught++;
        }
      }
    }
    assertThat(caught).isGreaterThan(INSTANCES / 2);
  }

  @Test
  void agreesWithEnumerationAndCatchesABoundThatIsOneTooHigh() {
    int checked = 0;
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      long optimum = SmallInstances.optimum(instance);
      Audit audit = new Audit(instance);
      if (audit.bound(optimum)) {
        checked++;
        if (optimum != PackingSolver.Outcome.INFEASIBLE) {
          assertThatThrownBy(() -> audit.bound(optimum + 1)).hasMessageContaining("optimum is");
        }
      }
    }
    assertThat(checked).isGreaterThan(INSTANCES / 2);
  }

  @Test
  void derivesABoundFromItsDualsAndNoMore() {
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      if (instance.pieces() == 0) {
        continue;
      }
      // Sizes as weights: a stick of one size unit a cost unit gives the bound by material.
      long[] weights = new long[instance.itemCount()];
      for (int i = 0; i < weights.length; i++) {
        weights[i] = instance.size(i);
      }
      Audit audit = new Audit(instance);
      assertThat(audit.dual(weights, BigInteger.ONE, BigInteger.valueOf(1_000), 0)).isTrue();
      long above = instance.totalSize() / 1_000 + 2;
      assertThatThrownBy(
              () -> audit.dual(weights, BigInteger.ONE, BigInteger.valueOf(1_000), above))
          .hasMessageContaining("follows from the duals");
    }
  }

  @Test
  void goesThroughAllPatternsOfAWorthThatIsNoSum() {
    Instance instance = SmallInstances.of(3);
    Audit audit = new Audit(instance);
    assertThat(audit.patterns(0, counts -> counts[0] > 0 ? Long.MIN_VALUE : 7, 7)).isTrue();
    assertThatThrownBy(() -> audit.patterns(0, counts -> 8, 7)).hasMessageContaining("worth 8");
  }

  @Test
  void findsNothingWrongWithTheSolver() {
    PackingSolver solver = new AuditedSolver(new ColumnSolver());
    for (long seed = INSTANCES; seed < 2 * INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      PackingSolver.Outcome outcome = solver.solve(instance, null, endless());
      assertThat(outcome.bound()).as("seed %d", seed).isGreaterThanOrEqualTo(0);
    }
  }
}
