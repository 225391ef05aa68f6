package org.kerftally.daemon.planning.packing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.stock.StickKind;

class ReachableSumsTest {

  private static final int INSTANCES = 400;

  @Test
  void everyCapacityIsLoweredToTheNextSumAndNoFurther() {
    for (long seed = 0; seed < INSTANCES; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      int reach = random.nextInt(1, 700);
      TreeSet<Long> sizes = new TreeSet<>();
      for (int n = random.nextInt(1, 5); n > 0; n--) {
        sizes.add((long) random.nextInt(1, reach + 1));
      }
      long[] falling = sizes.descendingSet().stream().mapToLong(Long::longValue).toArray();
      int[] demands = new int[falling.length];
      for (int i = 0; i < demands.length; i++) {
        demands[i] = random.nextInt(0, 9);
      }
      int capacity = reach - random.nextInt(Math.min(3, reach));
      Instance instance =
          Instance.of(
              falling,
              demands,
              List.of(
                  new StickType(capacity, reach, 5, 1, StickKind.NEW),
                  new StickType(capacity / 2, capacity / 2, 5, 1, StickKind.NEW)));
      boolean[] sums = sums(falling, demands, reach);

      List<StickType> tight = ReachableSums.tighten(instance).types();

      String text = "seed " + seed;
      assertThat(tight.get(0).capacity()).as(text).isEqualTo(below(sums, capacity));
      assertThat(tight.get(0).flush())
          .as(text)
          .isEqualTo(sums[reach] ? reach : below(sums, capacity));
      assertThat(tight.get(1).capacity()).as(text).isEqualTo(below(sums, capacity / 2));
    }
  }

  /** Adds one piece at a time, the plain way. */
  private static boolean[] sums(long[] sizes, int[] demands, int reach) {
    boolean[] sums = new boolean[reach + 1];
    sums[0] = true;
    for (int i = 0; i < sizes.length; i++) {
      for (int piece = 0; piece < demands[i]; piece++) {
        for (int sum = reach; sum >= sizes[i]; sum--) {
          sums[sum] |= sums[sum - (int) sizes[i]];
        }
      }
    }
    return sums;
  }

  private static int below(boolean[] sums, int capacity) {
    int sum = capacity;
    while (!sums[sum]) {
      sum--;
    }
    return sum;
  }
}
