package org.kerftally.daemon.planning.packing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.stock.StickKind;

/**
 * Holds what comes after cost against every packing of small instances. Every failure names its
 * seed.
 */
class AfterCostTest {

  private static final int INSTANCES = 400;
  private static final long UNIT_NM = 1_000_000;

  private final PackingSolver solver = new ColumnSolver();

  private static Instance instance(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    TreeSet<Long> sizes = new TreeSet<>();
    int items = random.nextInt(1, 4);
    while (sizes.size() < items) {
      sizes.add((long) random.nextInt(4, 30));
    }
    int[] demands = new int[items];
    for (int i = 0; i < items; i++) {
      demands[i] = random.nextInt(1, 4);
    }
    List<StickType> types = new ArrayList<>();
    types.add(new StickType(40, 40, 12, random.nextInt(1, 4), StickKind.NEW));
    if (random.nextBoolean()) {
      int capacity = random.nextInt(20, 60);
      StickKind kind = random.nextBoolean() ? StickKind.OFFCUT : StickKind.IN_SAW;
      int number = kind == StickKind.IN_SAW ? 1 : 2;
      types.add(
          new StickType(
              capacity, capacity + random.nextInt(3), number, random.nextInt(0, 4), kind));
    }
    return Instance.of(
        sizes.descendingSet().stream().mapToLong(Long::longValue).toArray(), demands, types);
  }

  private static OffcutRule rule(Instance instance, long seed) {
    // A stick may be longer than sizes can tell by less than a unit, and a flush end falls short.
    List<Long> lengthsNm =
        instance.types().stream().map(t -> t.capacity() * UNIT_NM + seed % 7 * 1_000).toList();
    return new OffcutRule(lengthsNm, UNIT_NM, seed % 13 * UNIT_NM);
  }

  @Test
  void findsAndProvesTheBestOfEverySmallInstance() {
    int proven = 0;
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = instance(seed);
      OffcutRule offcuts = rule(instance, seed);
      PackingSolver.Outcome outcome =
          solver.solve(instance, null, new Effort(() -> false, 500_000_000));
      Packing start = outcome.packing();
      assertThat(start).isNotNull();
      Best best = new Best(instance, offcuts);
      best.go(new ArrayList<>(), new int[instance.itemCount()], new int[4]);

      AfterCost.Result full =
          AfterCost.better(
              instance, offcuts, start, outcome.bound(), solver, new Effort(() -> false, 1L << 40));

      String text = "seed " + seed + " " + instance + " " + offcuts + " " + full;
      assertThat(full.packing().cost()).as(text).isLessThanOrEqualTo(start.cost());
      if (full.packing().cost() == best.cost) {
        assertThat(vector(full.packing(), offcuts)).as(text).isEqualTo(best.vector);
        assertThat(
                List.of(
                    full.fewestHandled(),
                    full.mostKeptNm(),
                    full.longestNm(),
                    (long) full.fewestPatterns()))
            .as(text)
            .isEqualTo(best.vector);
        proven++;
      }
    }
    assertThat(proven).isGreaterThan(INSTANCES * 99 / 100);
  }

  @Test
  void boundsSafelyWhereTheInstanceIsNotGoneThrough() {
    for (long seed = 0; seed < INSTANCES; seed++) {
      Instance instance = instance(seed);
      OffcutRule offcuts = rule(instance, seed);
      PackingSolver.Outcome outcome =
          solver.solve(instance, null, new Effort(() -> false, 500_000_000));
      Packing start = outcome.packing();
      assertThat(start).isNotNull();
      Best best = new Best(instance, offcuts);
      best.go(new ArrayList<>(), new int[instance.itemCount()], new int[4]);
      if (start.cost() != best.cost) {
        continue;
      }
      AfterBounds bounds = new AfterBounds(instance, offcuts);
      bounds.choose(start.cost());
      long handled = best.vector.get(0);
      String text = "seed " + seed + " " + instance + " " + offcuts;

      assertThat(bounds.fewestHandled()).as(text).isLessThanOrEqualTo(handled);
      assertThat(bounds.mostKept(handled, Integer.MAX_VALUE))
          .as(text)
          .isGreaterThanOrEqualTo(best.vector.get(1));
      assertThat(bounds.mostKept(handled, 1)).as(text).isGreaterThanOrEqualTo(best.longestOfAll);
      assertThat(bounds.fewestPatterns(handled, solver, new Effort(() -> false, 10_000_000)))
          .as(text)
          .isLessThanOrEqualTo(best.vector.get(3));
      longestOffcutIsBounded(instance, offcuts, best, text);
    }
  }

  /** With one type of stick the special stick's answer bounds every packing with as few sticks. */
  private void longestOffcutIsBounded(
      Instance instance, OffcutRule offcuts, Best best, String text) {
    if (instance.types().size() == 1) {
      int[] used = {best.vector.get(0).intValue()};
      LastOffcut.Answer answer =
          new LastOffcut(instance, offcuts, used, 0, solver)
              .find(new Effort(() -> false, 1L << 40), 100_000_000);
      assertThat(answer.mostNm()).as(text).isGreaterThanOrEqualTo(best.longestOfAll);
    }
  }

  @Test
  void worsensNothingWhereTheEffortIsSpent() {
    for (long seed = 0; seed < INSTANCES / 4; seed++) {
      Instance instance = instance(seed);
      OffcutRule offcuts = rule(instance, seed);
      Packing start = solver.solve(instance, null, new Effort(() -> false, 500_000_000)).packing();
      assertThat(start).isNotNull();

      AfterCost.Result quick =
          AfterCost.better(instance, offcuts, start, 0, solver, new Effort(() -> true, 1));

      assertThat(new Ranking(offcuts).compare(quick.packing(), start)).isLessThanOrEqualTo(0);
      assertThat(quick.fewestHandled()).isLessThanOrEqualTo(quick.packing().handled());
    }
  }

  private static List<Long> vector(Packing packing, OffcutRule offcuts) {
    return List.of(
        packing.handled(),
        offcuts.keptNm(packing),
        offcuts.longestNm(packing),
        (long) packing.uses().size());
  }

  /** Goes through all packings, stick by stick in a fixed order of patterns. */
  private static final class Best {
    private final Instance instance;
    private final OffcutRule offcuts;
    private final List<Pattern> patterns = new ArrayList<>();
    long cost = Long.MAX_VALUE;
    List<Long> vector = List.of();
    long longestOfAll;

    Best(Instance instance, OffcutRule offcuts) {
      this.instance = instance;
      this.offcuts = offcuts;
      for (int t = 0; t < instance.types().size(); t++) {
        for (List<Integer> counts : SmallInstances.patterns(instance, instance.types().get(t))) {
          int[] dense = counts.stream().mapToInt(Integer::intValue).toArray();
          if (counts.stream().anyMatch(n -> n > 0)) {
            patterns.add(Pattern.of(instance, t, dense));
          }
        }
      }
    }

    void go(List<Packing.Use> uses, int[] made, int[] taken) {
      go(0, uses, made, taken);
    }

    private void go(int from, List<Packing.Use> uses, int[] made, int[] taken) {
      boolean whole = true;
      for (int i = 0; i < made.length; i++) {
        if (made[i] > instance.demand(i)) {
          return;
        }
        whole &= made[i] == instance.demand(i);
      }
      if (whole) {
        judge(Packing.of(instance, uses));
        return;
      }
      for (int n = from; n < patterns.size(); n++) {
        Pattern pattern = patterns.get(n);
        if (taken[pattern.type] < instance.types().get(pattern.type).available()) {
          pattern.addTo(made, 1);
          taken[pattern.type]++;
          uses.add(new Packing.Use(pattern, 1));
          go(n, uses, made, taken);
          uses.remove(uses.size() - 1);
          taken[pattern.type]--;
          pattern.addTo(made, -1);
        }
      }
    }

    private void judge(Packing packing) {
      List<Long> found = vector(packing, offcuts);
      if (packing.cost() < cost) {
        cost = packing.cost();
        vector = found;
        longestOfAll = found.get(2);
      } else if (packing.cost() == cost) {
        int order = compare(found, vector);
        long longest = found.get(0) < vector.get(0) ? 0 : longestOfAll;
        longestOfAll =
            found.get(0) > vector.get(0) ? longestOfAll : Math.max(longest, found.get(2));
        vector = order < 0 ? found : vector;
      }
    }

    private static int compare(List<Long> one, List<Long> other) {
      int first = Long.compare(one.get(0), other.get(0));
      first = first != 0 ? first : Long.compare(other.get(1), one.get(1));
      first = first != 0 ? first : Long.compare(other.get(2), one.get(2));
      return first != 0 ? first : Long.compare(one.get(3), other.get(3));
    }
  }
}
