package org.kerftally.daemon.planning.packing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.stock.StickKind;

final class ReachableCostsTest {

  @Test
  void knowsJustTheSumsOfTheSticks() {
    for (long seed = 0; seed < 200; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      List<StickType> types = new ArrayList<>();
      TreeSet<Long> sums = new TreeSet<>(List.of(0L));
      int kinds = random.nextInt(1, 4);
      for (int t = 0; t < kinds; t++) {
        int cost = random.nextInt(1, 40) * 3;
        int number = random.nextInt(0, 4);
        types.add(new StickType(10, 10, number, cost, StickKind.NEW));
        for (int n = 0; n < number; n++) {
          for (long sum : List.copyOf(sums)) {
            sums.add(sum + cost);
          }
        }
      }
      Instance instance = Instance.of(new long[] {5}, new int[] {9}, types);
      long top = sums.last();

      ReachableCosts costs = ReachableCosts.of(instance, top);

      for (long cost = 0; cost <= top; cost++) {
        assertThat(costs.atLeast(cost)).as("seed %d: %d", seed, cost).isEqualTo(sums.ceiling(cost));
        assertThat(costs.atMost(cost)).as("seed %d: %d", seed, cost).isEqualTo(sums.floor(cost));
      }
    }
  }

  @Test
  void holdsToTheCommonDivisorWhereSumsAreTooMany() {
    StickType dear = new StickType(10, 10, 9, 1L << 50, StickKind.NEW);
    StickType cheap = new StickType(10, 10, 9, 1L << 4, StickKind.NEW);
    Instance instance = Instance.of(new long[] {5}, new int[] {9}, List.of(dear, cheap));

    ReachableCosts costs = ReachableCosts.of(instance, 1L << 53);

    assertThat(costs.atLeast((1L << 50) + 1)).isEqualTo((1L << 50) + 16);
    assertThat(costs.atMost((1L << 50) + 31)).isEqualTo((1L << 50) + 16);
  }
}
