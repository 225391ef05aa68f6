package org.kerftally.daemon.planning.sequence;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.shared.length.Length;

/**
 * Orders sticks, and picks a way to cut each, so that the stop moves as seldom as can be, and then
 * as short a time, with no more parts open at once than allowed.
 *
 * <p>For a given order the ways are picked exactly, sticks after sticks. Few sticks are ordered
 * exactly too, by dynamic programming over the set of those cut and the last way ({@link
 * StopOrderTable}). More are ordered by a descent: a run of sticks is moved elsewhere or turned
 * about (or-opt and 2-opt, Or 1976 and Croes 1958) as long as that betters the order and keeps to
 * the limit.
 *
 * <p>The bound on moves: every pick's own moves, and a move between groups of sticks of which no
 * end is another's start. Deterministic. Not thread-safe.
 */
final class StopOrder {

  private static final int MOST_EXACT = 11;
  private static final long MOST_EXACT_STEPS = 5_000_000;
  private static final int MOST_DESCENT = 120;
  private static final int LONGEST_RUN = 3;
  private static final long UNITS_A_STEP = 4;

  /** The most stands of the stop whose distances are held in a table. */
  private static final int MOST_TABLED = 1_000;

  private final List<List<StopWay>> ways;
  private final List<BitSet> parts;
  private final int first;
  private final int limit;
  private final StopRules rules;
  private final @Nullable Length from;
  private final Effort effort;
  private final long steps;
  private final int[][] starts;
  private final int[][] ends;
  private final long[][] weights;
  private final List<Length> stands;
  private final long[] between;

  /**
   * Says what was found.
   *
   * @param order the sticks' indexes in the order they are cut
   * @param picks the way picked for each, by place in the order
   * @param moves how often the stop moves, the first move included
   * @param leastMoves no order has fewer
   * @param proven whether neither fewer moves nor as many in less time is possible
   */
  record Found(
      List<Integer> order, List<StopWay> picks, long moves, long leastMoves, boolean proven) {

    /** Copies the lists. */
    Found {
      order = List.copyOf(order);
      picks = List.copyOf(picks);
    }
  }

  /**
   * Prepares.
   *
   * @param ways the ways to cut each
   * @param parts the parts of each
   * @param first how many at the front stay where they are
   * @param limit the most parts that may be open at once, in the order given at the least
   * @param from where the stop stands before, or {@code null} where that is not known
   */
  StopOrder(
      List<List<StopWay>> ways,
      List<BitSet> parts,
      int first,
      int limit,
      StopRules rules,
      @Nullable Length from,
      Effort effort) {
    this.ways = ways;
    this.parts = parts;
    this.first = first;
    this.limit = limit;
    this.rules = rules;
    this.from = from;
    this.effort = effort;
    long all = ways.stream().mapToLong(List::size).sum();
    this.steps = all * all;
    Map<Length, Integer> numbers = new LinkedHashMap<>();
    this.starts = new int[ways.size()][];
    this.ends = new int[ways.size()][];
    this.weights = new long[ways.size()][];
    for (int n = 0; n < starts.length; n++) {
      List<StopWay> here = ways.get(n);
      starts[n] = here.stream().mapToInt(way -> number(numbers, way.start())).toArray();
      ends[n] = here.stream().mapToInt(way -> number(numbers, way.end())).toArray();
      weights[n] = here.stream().mapToLong(StopWay::weight).toArray();
    }
    this.stands = List.copyOf(numbers.keySet());
    int count = stands.size() <= MOST_TABLED ? stands.size() : 0;
    this.between = new long[count * count];
    for (int end = 0; end < count; end++) {
      for (int start = 0; start < count; start++) {
        between[end * count + start] = junction(stands.get(end), stands.get(start));
      }
    }
  }

  private static int number(Map<Length, Integer> stands, Length stand) {
    return stands.computeIfAbsent(stand, key -> stands.size());
  }

  /** The same as {@link #junction} by the stands' numbers; looked up where they are few. */
  private long between(int end, int start) {
    return between.length == 0
        ? junction(stands.get(end), stands.get(start))
        : between[end * stands.size() + start];
  }

  /** Finds an order at least as good as the one given. */
  Found find() {
    int[] order = new int[ways.size()];
    for (int n = 0; n < order.length; n++) {
      order[n] = n;
    }
    boolean exact =
        order.length <= MOST_EXACT
            && steps << Math.max(0, order.length - 2) <= MOST_EXACT_STEPS
            && !effort.spend(UNITS_A_STEP * (steps << Math.max(0, order.length - 2)));
    if (exact) {
      int[] best = new StopOrderTable(ways, parts, first, limit, this::junction, from).order();
      order = pick(best, null) < pick(order, null) ? best : order;
    } else if (order.length <= MOST_DESCENT) {
      order = descended(order);
    }
    StopWay[] picks = new StopWay[order.length];
    long weight = pick(order, picks);
    long moves = weight / StopWay.MOVE;
    return new Found(
        boxed(order), Arrays.asList(picks), moves, exact ? moves : Math.min(moves, least()), exact);
  }

  /** Returns what it takes to come from one stand to the next, as moves and time in one. */
  long junction(@Nullable Length end, Length start) {
    if (end == null) {
      return StopWay.MOVE;
    }
    return end.equals(start) ? 0 : StopWay.MOVE + rules.motion().millis(end, start);
  }

  private int[] descended(int[] given) {
    int[] best = given;
    long weight = pick(best, null);
    boolean better = true;
    while (better && !effort.spent()) {
      better = false;
      for (int at = first; at < best.length && !better; at++) {
        for (int run = 1; run <= LONGEST_RUN && at + run <= best.length && !better; run++) {
          for (int to = first; to < best.length && !better; to++) {
            if (effort.spend(UNITS_A_STEP * steps / best.length)) {
              return best;
            }
            int[] tried =
                to >= at && to < at + run ? turned(best, at, to) : moved(best, at, run, to);
            long after = pick(tried, null);
            if (after < weight && OpenParts.most(parts, boxed(tried)) <= limit) {
              best = tried;
              weight = after;
              better = true;
            }
          }
        }
        for (int to = at + LONGEST_RUN; to < best.length && !better; to++) {
          int[] tried = turned(best, at, to);
          long after = pick(tried, null);
          if (after < weight && OpenParts.most(parts, boxed(tried)) <= limit) {
            best = tried;
            weight = after;
            better = true;
          }
        }
      }
    }
    return best;
  }

  private static List<Integer> boxed(int[] order) {
    return Arrays.stream(order).boxed().toList();
  }

  private static int[] moved(int[] order, int at, int run, int to) {
    List<Integer> rest = new ArrayList<>();
    List<Integer> taken = new ArrayList<>();
    for (int n = 0; n < order.length; n++) {
      (n >= at && n < at + run ? taken : rest).add(order[n]);
    }
    rest.addAll(to > at ? to - run + 1 : to, taken);
    return rest.stream().mapToInt(Integer::intValue).toArray();
  }

  private static int[] turned(int[] order, int at, int to) {
    int[] turned = order.clone();
    for (int n = at; n <= to; n++) {
      turned[n] = order[at + to - n];
    }
    return turned;
  }

  /** Picks the best ways for an order; returns moves and time as one number. */
  private long pick(int[] order, StopWay @Nullable [] picks) {
    long[][] least = new long[order.length][];
    int[][] before = new int[order.length][];
    for (int n = 0; n < order.length; n++) {
      int here = order[n];
      int number = starts[here].length;
      least[n] = new long[number];
      before[n] = new int[number];
      for (int w = 0; w < number; w++) {
        if (n == 0) {
          least[n][w] = junction(from, ways.get(here).get(w).start()) + weights[here][w];
          continue;
        }
        int[] previous = ends[order[n - 1]];
        int start = starts[here][w];
        long lightest = Long.MAX_VALUE;
        for (int v = 0; v < previous.length; v++) {
          long weight = least[n - 1][v] + between(previous[v], start);
          if (weight < lightest) {
            lightest = weight;
            before[n][w] = v;
          }
        }
        least[n][w] = lightest + weights[here][w];
      }
    }
    long weight = order.length == 0 ? 0 : Arrays.stream(least[order.length - 1]).min().orElse(0);
    if (picks != null && order.length > 0) {
      int at = 0;
      while (least[order.length - 1][at] != weight) {
        at++;
      }
      for (int n = order.length - 1; n >= 0; n--) {
        picks[n] = ways.get(order[n]).get(at);
        at = before[n][at];
      }
    }
    return weight;
  }

  /** Returns a number of moves that no order goes below. */
  private long least() {
    long moves = 0;
    for (List<StopWay> here : ways) {
      moves += here.stream().mapToLong(StopWay::moves).min().orElse(0);
    }
    int groups = groups();
    boolean meets =
        from != null
            && ways.stream().anyMatch(w -> w.stream().anyMatch(way -> way.start().equals(from)));
    return moves + Math.max(0, groups - 1) + (ways.isEmpty() || meets ? 0 : 1);
  }

  /** Counts the groups of sticks between which the stop must move: no end is another's start. */
  private int groups() {
    int[] next = new int[ways.size()];
    int[] starter = new int[stands.size()];
    int[] ender = new int[stands.size()];
    Arrays.fill(starter, -1);
    Arrays.fill(ender, -1);
    for (int n = 0; n < next.length; n++) {
      next[n] = n;
      for (int stand : starts[n]) {
        starter[stand] = n;
      }
      for (int stand : ends[n]) {
        ender[stand] = n;
      }
    }
    int groups = next.length;
    for (int n = 0; n < next.length; n++) {
      for (int stand : starts[n]) {
        groups -= ender[stand] >= 0 && join(next, n, ender[stand]) ? 1 : 0;
      }
      for (int stand : ends[n]) {
        groups -= starter[stand] >= 0 && join(next, n, starter[stand]) ? 1 : 0;
      }
    }
    return groups;
  }

  /** Puts two sticks in one group; tells whether they were in two. */
  private static boolean join(int[] next, int one, int other) {
    int from = last(next, one);
    int to = last(next, other);
    next[from] = to;
    return from != to;
  }

  private static int last(int[] next, int of) {
    int at = of;
    while (next[at] != at) {
      next[at] = next[next[at]];
      at = next[at];
    }
    return at;
  }
}
