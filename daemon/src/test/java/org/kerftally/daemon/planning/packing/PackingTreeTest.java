package org.kerftally.daemon.planning.packing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.NavigableMap;
import java.util.SplittableRandom;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.stock.StickKind;

/** Holds the tree against enumeration over all subsets of the pieces. */
final class PackingTreeTest {

  private static final int PIECES = 11;
  private static final long NEVER = Long.MAX_VALUE / 4;

  @Test
  void findsTheCheapestPackingOrProvesThatThereIsNone() {
    for (long seed = 0; seed < 300; seed++) {
      Instance instance = random(seed, 1 + (int) (seed % 3));
      long optimum = cheapest(instance);
      long most = optimum == NEVER ? 1_000 : optimum + seed % 7;

      PackingTree.Verdict verdict = PackingTree.cheapest(instance, most, List.of(), endless());

      if (optimum == NEVER) {
        assertThat(verdict.end()).as("seed %d", seed).isEqualTo(PackingTree.End.REFUTED);
      } else {
        assertThat(verdict.end()).as("seed %d", seed).isEqualTo(PackingTree.End.PACKED);
        assertThat(verdict.packing()).as("seed %d", seed).isNotNull();
        assertThat(Packing.of(instance, verdict.uses()).cost())
            .as("seed %d", seed)
            .isEqualTo(optimum);
      }
    }
  }

  @Test
  void refutesEveryCostBelowTheOptimum() {
    for (long seed = 0; seed < 300; seed++) {
      Instance instance = random(seed, 1 + (int) (seed % 3));
      long optimum = cheapest(instance);
      if (optimum != NEVER && optimum > 0) {
        assertThat(PackingTree.cheapest(instance, optimum - 1, List.of(), endless()).end())
            .as("seed %d", seed)
            .isEqualTo(PackingTree.End.REFUTED);
      }
    }
  }

  @Test
  void decidesWhetherSoManySticksDo() {
    for (long seed = 0; seed < 600; seed++) {
      Instance instance = random(seed, 1 + (int) (seed % 2));
      boolean packs = cheapest(instance) != NEVER;

      PackingTree.Verdict verdict = PackingTree.decide(instance, List.of(), endless());

      assertThat(verdict.end())
          .as("seed %d", seed)
          .isEqualTo(packs ? PackingTree.End.PACKED : PackingTree.End.REFUTED);
    }
  }

  /**
   * Three to a stick without a rest to spare, and no relaxation to tell it: only branching does.
   */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void packsTripletsThatFillEveryStick(long seed) {
    Instance instance = triplets(30, seed);

    PackingTree.Verdict verdict = PackingTree.decide(instance, List.of(), endless());

    assertThat(verdict.end()).isEqualTo(PackingTree.End.PACKED);
    assertThat(Packing.of(instance, verdict.uses()).handled()).isEqualTo(30);
  }

  @Test
  void stopsOpenWhenToldTo() {
    Effort none = new Effort(() -> true, Long.MAX_VALUE);

    PackingTree.Verdict verdict = PackingTree.decide(triplets(60, 1), List.of(), none);

    assertThat(verdict.end()).isEqualTo(PackingTree.End.OPEN);
  }

  @Test
  void leavesMoreItemsOpenThanItCanHoldPairsOf() {
    TreeMap<Long, Integer> demands = new TreeMap<>();
    for (long size = 400; size < 20_400; size++) {
      demands.merge(size, 1, Integer::sum);
    }
    StickType stick = new StickType(30_000, 30_000, 20_000, 1, StickKind.NEW);

    PackingTree.Verdict verdict =
        PackingTree.decide(instance(demands, List.of(stick)), List.of(), endless());

    assertThat(verdict.end()).isEqualTo(PackingTree.End.OPEN);
  }

  private static Effort endless() {
    return new Effort(() -> false, Long.MAX_VALUE);
  }

  /** Triplets after Falkenauer (1996): a, b and W − a − b with W = 1000. */
  private static Instance triplets(int sticks, long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    TreeMap<Long, Integer> demands = new TreeMap<>();
    for (int n = 0; n < sticks; n++) {
      long first = random.nextLong(380, 490);
      long rest = 1000 - first;
      long second = random.nextLong(250, rest / 2);
      for (long size : new long[] {first, second, rest - second}) {
        demands.merge(size, 1, Integer::sum);
      }
    }
    return instance(demands, List.of(new StickType(1000, 1000, sticks, 1, StickKind.NEW)));
  }

  private static Instance random(long seed, int kinds) {
    SplittableRandom random = new SplittableRandom(seed);
    TreeMap<Long, Integer> demands = new TreeMap<>();
    int spread = random.nextInt(3, 30);
    for (int n = 0; n < PIECES; n++) {
      demands.merge(25L + random.nextInt(spread), 1, Integer::sum);
    }
    List<StickType> types = new ArrayList<>();
    for (int t = 0; t < kinds; t++) {
      int capacity = random.nextInt(70, 120);
      int flush = capacity + random.nextInt(2) * random.nextInt(0, 3);
      types.add(
          new StickType(
              capacity, flush, random.nextInt(1, 7), random.nextInt(1, 30), StickKind.NEW));
    }
    return instance(demands, types);
  }

  private static Instance instance(NavigableMap<Long, Integer> demands, List<StickType> types) {
    long[] sizes = demands.descendingMap().keySet().stream().mapToLong(Long::longValue).toArray();
    int[] counts = demands.descendingMap().values().stream().mapToInt(Integer::intValue).toArray();
    return Instance.of(sizes, counts, types);
  }

  /** The least cost by dynamic programming over sets of pieces, stick after stick. */
  private static long cheapest(Instance instance) {
    int pieces = (int) instance.pieces();
    long[] sizes = new long[pieces];
    int next = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      for (int n = 0; n < instance.demand(i); n++) {
        sizes[next++] = instance.size(i);
      }
    }
    int sets = 1 << pieces;
    long[] sums = new long[sets];
    for (int set = 1; set < sets; set++) {
      int low = Integer.numberOfTrailingZeros(set);
      sums[set] = sums[set & (set - 1)] + sizes[low];
    }
    long[] costs = new long[sets];
    Arrays.fill(costs, NEVER);
    costs[0] = 0;
    for (StickType type : instance.types()) {
      for (int stick = 0; stick < type.available(); stick++) {
        long[] more = costs.clone();
        for (int set = 1; set < sets; set++) {
          for (int part = set; part > 0; part = (part - 1) & set) {
            if (type.fits(sums[part]) && costs[set ^ part] + type.cost() < more[set]) {
              more[set] = costs[set ^ part] + type.cost();
            }
          }
        }
        costs = more;
      }
    }
    return costs[sets - 1];
  }
}
