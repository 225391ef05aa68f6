package org.kerftally.daemon.planning.packing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.stock.StickKind;

/** Holds both pricers against enumeration of all patterns. */
class PricerTest {

  private static final int INSTANCES = 1_500;

  @Test
  void findsTheHeaviestPatternOfEveryType() {
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = SmallInstances.of(seed);
      SplittableRandom random = new SplittableRandom(seed);
      long[] weights = new long[instance.itemCount()];
      for (int i = 0; i < weights.length; i++) {
        weights[i] = random.nextInt(4) == 0 ? 0 : random.nextLong(1L << 40);
      }
      hold(new TablePricer(instance), instance, weights, "table, seed " + seed);
      SearchPricer search = new SearchPricer(instance, SearchPricer.NODE_LIMIT);
      hold(search, instance, weights, "search, seed " + seed);
      assertThat(search.isComplete()).isTrue();
      hold(new TrialPricer(instance), instance, weights, "trial, seed " + seed);
    }
  }

  private static void hold(Pricer pricer, Instance instance, long[] weights, String text) {
    Pricer.Priced priced = pricer.price(weights, new Effort(() -> false, Long.MAX_VALUE));
    for (int t = 0; t < instance.types().size(); t++) {
      StickType type = instance.types().get(t);
      long heaviest = 0;
      for (List<Integer> pattern : SmallInstances.patterns(instance, type)) {
        long weight = 0;
        for (int i = 0; i < weights.length; i++) {
          weight += weights[i] * pattern.get(i);
        }
        heaviest = Math.max(heaviest, weight);
      }
      assertThat(priced.carried().by(t)).as(text).isEqualTo(heaviest);
      int index = t;
      long found =
          priced.patterns().stream()
              .filter(pattern -> pattern.type() == index)
              .peek(pattern -> assertThat(type.fits(pattern.fill())).as(text).isTrue())
              .mapToLong(pattern -> weight(pattern, weights))
              .max()
              .orElse(0);
      assertThat(found).as(text).isEqualTo(type.available() > 0 ? heaviest : 0);
    }
  }

  private static long weight(Pattern pattern, long[] weights) {
    long weight = 0;
    for (int n = 0; n < pattern.distinct(); n++) {
      weight += weights[pattern.item(n)] * pattern.count(n);
    }
    return weight;
  }

  @Test
  void raisesTheUpperBoundWhereTheSearchIsCutOff() {
    // Many sizes in very long sticks: far too many patterns to look at them all.
    int items = 60;
    long[] sizes = new long[items];
    int[] demands = new int[items];
    long[] weights = new long[items];
    SplittableRandom random = new SplittableRandom(4);
    for (int i = 0; i < items; i++) {
      sizes[i] = 9_000_000_000L - 100_000_000L * i - random.nextInt(50_000_000);
      demands[i] = 20;
      weights[i] = sizes[i] / 1_000 + random.nextInt(1_000);
    }
    StickType type = new StickType(99_999_999_999L, 99_999_999_999L, 999, 1, StickKind.NEW);
    Instance instance = Instance.of(sizes, demands, List.of(type));

    Pricer.Priced priced =
        Pricer.of(instance).price(weights, new Effort(() -> false, Long.MAX_VALUE));

    long found = weight(priced.patterns().get(0), weights);
    assertThat(priced.carried().by(0)).isGreaterThanOrEqualTo(found);
    assertThat(priced.carried().by(0)).isLessThan(found + found / 100);
  }

  @Test
  void aSearchThatIsCutOffSaysSo() {
    Instance instance = SmallInstances.of(1);
    long[] weights = new long[instance.itemCount()];
    Arrays.fill(weights, 1);
    SearchPricer search = new SearchPricer(instance, 0);
    search.price(weights, new Effort(() -> false, Long.MAX_VALUE));
    assertThat(search.isComplete()).isFalse();
  }

  /** By turns weights that a short search is enough for, and such as differ too little for it. */
  @Test
  void aTrialFindsWhatATableFinds() {
    for (long seed = 0; seed < 12; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      boolean easy = seed % 2 == 0;
      int least = easy ? 500 : 9_000;
      TreeSet<Long> sizes = new TreeSet<>();
      while (sizes.size() < 60) {
        sizes.add(random.nextLong(least, 15_000));
      }
      long[] falling = sizes.descendingSet().stream().mapToLong(Long::longValue).toArray();
      int[] demands = new int[falling.length];
      Arrays.fill(demands, 3);
      Instance instance =
          Instance.of(
              falling,
              demands,
              List.of(
                  new StickType(49_990, 50_000, 99, 1, StickKind.NEW),
                  new StickType(31_000, 31_000, 99, 1, StickKind.NEW)));
      assertThat(TablePricer.cells(instance)).isGreaterThan(TrialPricer.LEAST_CELLS);
      Pricer trial = Pricer.of(instance);
      for (int round = 0; round < 5; round++) {
        long[] weights = new long[falling.length];
        for (int i = 0; i < weights.length; i++) {
          weights[i] = falling[i] * 1_000 + random.nextLong(easy ? 2_000_000 : 50);
        }
        Effort effort = new Effort(() -> false, Long.MAX_VALUE);
        SearchPricer search = new SearchPricer(instance, 30_000);
        search.price(weights, effort);
        assertThat(search.isComplete()).as("seed %s, round %s", seed, round).isEqualTo(easy);
        assertThat(trial.price(weights, effort).carried().all())
            .as("seed %s, round %s", seed, round)
            .isEqualTo(new TablePricer(instance).price(weights, effort).carried().all());
      }
    }
  }

  /**
   * Sticks of 50,000 are looked up on a grid of nine units; what is found is exact all the same.
   */
  @Test
  void aGridFindsWhatATableFinds() {
    for (long seed = 0; seed < 60; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      TreeSet<Long> sizes = new TreeSet<>();
      while (sizes.size() < 40) {
        sizes.add(random.nextLong(seed % 2 == 0 ? 3 : 4_000, 34_000));
      }
      long[] falling = sizes.descendingSet().stream().mapToLong(Long::longValue).toArray();
      int[] demands = random.ints(falling.length, 1, 6).toArray();
      StickType type = new StickType(49_990, 50_000, 99, 1, StickKind.NEW);
      Instance instance = Instance.of(falling, demands, List.of(type));
      long[] weights = new long[falling.length];
      for (int i = 0; i < weights.length; i++) {
        weights[i] = falling[i] * 1_000 + random.nextLong(4_000_000);
      }
      Effort effort = new Effort(() -> false, Long.MAX_VALUE);
      long heaviest = new TablePricer(instance).price(weights, effort).carried().by(0);
      GridPricer grid = new GridPricer(instance);

      holdGrid(grid, instance, weights, 0, heaviest);
      holdGrid(grid, instance, weights, heaviest - heaviest / 50, heaviest);
      Pricer.Priced none = grid.price(weights, new long[] {heaviest}, effort);
      assertThat(none.patterns()).as("seed %s", seed).isEmpty();
      assertThat(none.carried().by(0)).as("seed %s", seed).isEqualTo(heaviest);
    }
  }

  private static void holdGrid(
      GridPricer grid, Instance instance, long[] weights, long bar, long heaviest) {
    Effort effort = new Effort(() -> false, Long.MAX_VALUE);
    Pricer.Priced priced = grid.price(weights, new long[] {bar}, effort);
    assertThat(priced.carried().by(0)).isEqualTo(heaviest);
    assertThat(weight(priced.patterns().get(0), weights)).isEqualTo(heaviest);
    assertThat(priced.patterns())
        .allMatch(pattern -> weight(pattern, weights) > bar)
        .allMatch(pattern -> instance.types().get(0).fits(pattern.fill()));
  }

  @Test
  void aGridThatIsCutOffBoundsAllTheSame() {
    Instance instance =
        Instance.of(
            new long[] {20_011, 17_009, 12_007},
            new int[] {4, 4, 4},
            List.of(new StickType(50_000, 50_000, 9, 1, StickKind.NEW)));
    long[] weights = {20_011, 17_009, 12_007};
    Pricer.Priced priced = new GridPricer(instance).price(weights, new Effort(() -> true, 1));
    assertThat(priced.carried().by(0)).isBetween(49_027L, 2 * 49_027L);
  }
}
