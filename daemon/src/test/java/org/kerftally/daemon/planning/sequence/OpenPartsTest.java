package org.kerftally.daemon.planning.sequence;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.planning.packing.Effort;

/** Holds orders for few open parts against every permutation. Every failure names its seed. */
class OpenPartsTest {

  private static final int INSTANCES = 1_500;

  private static Effort effort() {
    return new Effort(() -> false, 100_000_000);
  }

  private static List<BitSet> patterns(SplittableRandom random, int most, int parts) {
    List<BitSet> patterns = new ArrayList<>();
    int number = random.nextInt(1, most + 1);
    int density = random.nextInt(2, 6);
    for (int n = 0; n < number; n++) {
      BitSet pattern = new BitSet();
      pattern.set(random.nextInt(parts));
      for (int p = 0; p < parts; p++) {
        if (random.nextInt(density) == 0) {
          pattern.set(p);
        }
      }
      patterns.add(pattern);
    }
    return patterns;
  }

  @Test
  void opensAsFewPartsAsAnyPermutationAndProvesIt() {
    for (long seed = 0; seed < INSTANCES; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      int parts = random.nextInt(1, 9);
      List<BitSet> patterns = patterns(random, 7, parts);
      int first = random.nextInt(3) == 0 ? 1 : 0;

      OpenParts.Order order = OpenParts.best(patterns, first, parts, effort());

      int least = least(patterns, new ArrayList<>(), new boolean[patterns.size()], first);
      assertThat(order.most()).as("seed " + seed + " " + patterns).isEqualTo(least);
      assertThat(order.bound()).as("seed " + seed + " " + patterns).isEqualTo(least);
      assertThat(OpenParts.most(patterns, order.order())).isEqualTo(least);
      assertThat(order.order()).doesNotHaveDuplicates().hasSize(patterns.size());
    }
  }

  private static int least(List<BitSet> patterns, List<Integer> order, boolean[] used, int first) {
    if (order.size() == patterns.size()) {
      return open(patterns, order);
    }
    int least = Integer.MAX_VALUE;
    for (int n = 0; n < used.length; n++) {
      boolean next = order.size() < first ? n == order.size() : !used[n];
      if (next) {
        used[n] = true;
        order.add(n);
        least = Math.min(least, least(patterns, order, used, first));
        order.remove(order.size() - 1);
        used[n] = false;
      }
    }
    return least;
  }

  /** Counts, for every place, the parts with a pattern at or before and one at or after it. */
  private static int open(List<BitSet> patterns, List<Integer> order) {
    int most = 0;
    for (int at = 0; at < order.size(); at++) {
      BitSet before = new BitSet();
      BitSet after = new BitSet();
      for (int n = 0; n < order.size(); n++) {
        if (n <= at) {
          before.or(patterns.get(order.get(n)));
        }
        if (n >= at) {
          after.or(patterns.get(order.get(n)));
        }
      }
      before.and(after);
      most = Math.max(most, before.cardinality());
    }
    return most;
  }

  @Test
  void staysSafeWhereTheEffortIsSpentAtOnce() {
    for (long seed = 0; seed < INSTANCES / 10; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      List<BitSet> patterns = patterns(random, 7, 8);

      OpenParts.Order order = OpenParts.best(patterns, 0, 8, new Effort(() -> true, 1));

      int least = least(patterns, new ArrayList<>(), new boolean[patterns.size()], 0);
      assertThat(order.bound()).as("seed " + seed).isLessThanOrEqualTo(least);
      assertThat(order.most()).as("seed " + seed).isGreaterThanOrEqualTo(least);
    }
  }

  /**
   * Cut patterns of two parts each, every pair once, are a complete graph: all parts are open at
   * once. A path of pairs needs two, a ring three; both follow from path width.
   */
  @Test
  void knowsGraphsWhoseAnswerIsKnown() {
    List<BitSet> all = new ArrayList<>();
    List<BitSet> ring = new ArrayList<>();
    for (int p = 0; p < 9; p++) {
      for (int q = p + 1; q < 9; q++) {
        all.add(pair(p, q));
      }
      ring.add(pair(p, (p + 1) % 9));
    }
    assertThat(OpenParts.best(all, 0, 9, effort())).satisfies(o -> holds(o, 9));
    assertThat(OpenParts.best(ring, 0, 9, effort())).satisfies(o -> holds(o, 3));
    assertThat(OpenParts.best(ring.subList(1, 9), 0, 9, effort())).satisfies(o -> holds(o, 2));
  }

  /**
   * A grid of m by n crossings, m at most n, has path width m (a known result on grids), so a
   * pattern for each edge opens m + 1 parts.
   */
  @Test
  void knowsThePathWidthOfGrids() {
    for (int m = 2; m <= 4; m++) {
      List<BitSet> edges = new ArrayList<>();
      int n = m + 1;
      for (int row = 0; row < m; row++) {
        for (int column = 0; column < n; column++) {
          int at = column * m + row;
          if (row + 1 < m) {
            edges.add(pair(at, at + 1));
          }
          if (column + 1 < n) {
            edges.add(pair(at, at + m));
          }
        }
      }
      int expected = m + 1;
      assertThat(OpenParts.best(edges, 0, m * n, effort())).satisfies(o -> holds(o, expected));
    }
  }

  private static void holds(OpenParts.Order order, int most) {
    assertThat(order.most()).isEqualTo(most);
    assertThat(order.bound()).isEqualTo(most);
  }

  private static BitSet pair(int one, int other) {
    BitSet pair = new BitSet();
    pair.set(one);
    pair.set(other);
    return pair;
  }
}
