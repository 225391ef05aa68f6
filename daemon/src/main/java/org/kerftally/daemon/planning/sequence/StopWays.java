package org.kerftally.daemon.planning.sequence;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutOrder;
import org.kerftally.shared.plan.PlannedSticks;

/**
 * Lists the ways to cut equal sticks that may be part of the best order of all sticks.
 *
 * <p>Behind an outfeed stop a target is a part's length, so equal lengths are cut in a row and a
 * stick with d lengths takes at least d − 1 moves. Which length comes first and which last decides
 * how it fits its neighbours; for every such pair the quickest path over the rest is found by
 * dynamic programming over sets (Held &amp; Karp 1962). Several sticks turn: every second one is
 * cut backwards, and the stop need not go back between them. A squaring cut has its own position,
 * at which every stick begins; then turning gains nothing.
 *
 * <p>With an infeed pusher the target is what remains behind the blade, and moves on with every cut
 * by the piece and the kerf, whatever the order. Order decides only where it stands first, where
 * nothing is squared, and which piece is left when the last ends flush: for every such pair the
 * rest is cut by falling length, in the same order for every stick or turning.
 *
 * <p>Of ways that start and end alike only the best is kept. With more than {@value #MOST_LENGTHS}
 * lengths in a stick only the rising and the falling order are.
 */
final class StopWays {

  /** The most lengths of one stick whose orders are gone through. */
  static final int MOST_LENGTHS = 8;

  private final StopRules rules;
  private final Length kerf;
  private final PlannedSticks sticks;
  private final Map<Length, List<Cut>> byLength = new TreeMap<>();
  private final List<Length> lengths;
  private final Map<List<Length>, StopWay> best = new LinkedHashMap<>();

  private StopWays(PlannedSticks sticks, StopRules rules, Length kerf) {
    this.sticks = sticks;
    this.rules = rules;
    this.kerf = kerf;
    for (Cut cut : sticks.cuts()) {
      byLength.computeIfAbsent(cut.length(), length -> new ArrayList<>()).add(cut);
    }
    this.lengths = List.copyOf(byLength.keySet());
  }

  /** Lists the ways to cut some sticks, at least one. */
  static List<StopWay> of(PlannedSticks sticks, StopRules rules, Length kerf) {
    StopWays ways = new StopWays(sticks, rules, kerf);
    if (rules.layout() == Layout.INFEED_PUSHER) {
      ways.pushed();
    } else {
      ways.stopped();
    }
    return List.copyOf(ways.best.values());
  }

  /** Tells whether all ways that may be best are listed for some sticks. */
  static boolean isComplete(PlannedSticks sticks, StopRules rules) {
    return rules.layout() == Layout.INFEED_PUSHER
        || sticks.cuts().stream().map(Cut::length).distinct().count() <= MOST_LENGTHS;
  }

  private void stopped() {
    @Nullable Length square = square(sticks, rules, kerf);
    if (lengths.size() > MOST_LENGTHS) {
      List<Length> falling = new ArrayList<>(lengths);
      Collections.reverse(falling);
      offer(falling, square);
      offer(lengths, square);
      return;
    }
    for (int a = lengths.size() - 1; a >= 0; a--) {
      paths(a, square);
    }
  }

  /** Returns where the stop stands for a squaring cut, or {@code null} where there is none. */
  static @Nullable Length square(PlannedSticks sticks, StopRules rules, Length kerf) {
    return sticks.leadTrim().isPositive()
        ? sticks.leadTrim().minus(kerf).max(rules.nearest())
        : null;
  }

  /** Offers the quickest path over all lengths from one to each. */
  private void paths(int from, @Nullable Length square) {
    int d = lengths.size();
    long[][] millis = new long[1 << d][d];
    int[][] before = new int[1 << d][d];
    for (long[] row : millis) {
      Arrays.fill(row, Long.MAX_VALUE);
    }
    millis[1 << from][from] = 0;
    for (int set = 1; set < 1 << d; set++) {
      for (int at = 0; at < d; at++) {
        for (int to = 0; millis[set][at] < Long.MAX_VALUE && to < d; to++) {
          long after = millis[set][at] + time(lengths.get(at), lengths.get(to));
          if ((set >> to & 1) == 0 && after < millis[set | 1 << to][to]) {
            millis[set | 1 << to][to] = after;
            before[set | 1 << to][to] = at;
          }
        }
      }
    }
    for (int to = 0; to < d; to++) {
      int set = (1 << d) - 1;
      if (millis[set][to] < Long.MAX_VALUE) {
        List<Length> path = new ArrayList<>();
        int at = to;
        while (set != 0) {
          path.add(lengths.get(at));
          int previous = before[set][at];
          set &= ~(1 << at);
          at = previous;
        }
        Collections.reverse(path);
        offer(path, square);
      }
    }
  }

  private void offer(List<Length> path, @Nullable Length square) {
    List<Cut> cuts = new ArrayList<>();
    path.forEach(length -> cuts.addAll(byLength.getOrDefault(length, List.of())));
    boolean turning = square == null && sticks.repeat() > 1 && path.size() > 1;
    offer(cuts, sticks.repeat() == 1 || !turning ? null : CutOrder.TURNING);
  }

  private void offer(List<Cut> cuts, @Nullable CutOrder goingOn) {
    List<Length> odd = stands(sticks.ordered(cuts, goingOn), rules, kerf);
    List<Length> even = odd;
    if (goingOn == CutOrder.TURNING) {
      even = stands(sticks.ordered(cuts, goingOn).afterFirst(), rules, kerf);
    }
    long times = sticks.repeat();
    Leg there = leg(odd);
    Leg back = leg(even);
    Leg toEven = leg(List.of(last(odd), even.get(0)));
    Leg toOdd = leg(List.of(last(even), odd.get(0)));
    Leg whole =
        there
            .times((times + 1) / 2)
            .plus(back.times(times / 2))
            .plus(toEven.times(times / 2))
            .plus(toOdd.times((times - 1) / 2));
    Length end = last(times % 2 == 0 ? even : odd);
    StopWay all = new StopWay(odd.get(0), end, whole.moves, whole.millis, cuts, goingOn);
    best.merge(List.of(all.start(), all.end()), all, (a, b) -> b.weight() < a.weight() ? b : a);
  }

  private static Length last(List<Length> stands) {
    return stands.get(stands.size() - 1);
  }

  private record Leg(long moves, long millis) {

    Leg times(long times) {
      return new Leg(moves * times, millis * times);
    }

    Leg plus(Leg other) {
      return new Leg(moves + other.moves, millis + other.millis);
    }
  }

  private Leg leg(List<Length> stands) {
    long moves = 0;
    long millis = 0;
    for (int n = 1; n < stands.size(); n++) {
      moves += stands.get(n).equals(stands.get(n - 1)) ? 0 : 1;
      millis += time(stands.get(n - 1), stands.get(n));
    }
    return new Leg(moves, millis);
  }

  private long time(Length from, Length to) {
    return rules.motion().millis(from, to);
  }

  /** Returns where the stop stands for each cut of one stick, in order. */
  static List<Length> stands(PlannedSticks stick, StopRules rules, Length kerf) {
    List<Length> stands = new ArrayList<>();
    if (rules.layout() == Layout.OUTFEED_STOP) {
      Length square = square(stick, rules, kerf);
      if (square != null) {
        stands.add(square);
      }
      stick.cuts().forEach(cut -> stands.add(cut.length()));
      return stands;
    }
    Length left = stick.length().minus(stick.leadTrim());
    if (stick.leadTrim().isPositive()) {
      stands.add(left);
    }
    for (Cut cut : stick.cuts()) {
      boolean flush = left.equals(cut.length());
      left = left.minus(cut.length()).minus(kerf);
      if (!flush || stands.isEmpty()) {
        stands.add(left.max(Length.ZERO));
      }
    }
    return stands;
  }

  private void pushed() {
    List<Cut> falling = new ArrayList<>(sticks.cuts());
    falling.sort(Comparator.comparing(Cut::length).reversed());
    offer(falling, (CutOrder) null);
    for (Length head : lengths) {
      for (Length tail : lengths) {
        List<Cut> cuts = new ArrayList<>(falling);
        Cut first = take(cuts, head);
        Cut last = take(cuts, tail);
        if (first != null && last != null) {
          cuts.add(0, first);
          cuts.add(last);
          offer(cuts, (CutOrder) null);
          if (sticks.repeat() > 1 && cuts.size() > 1) {
            offer(cuts, CutOrder.TURNING);
          }
        }
      }
    }
  }

  private static @Nullable Cut take(List<Cut> cuts, Length length) {
    for (int n = 0; n < cuts.size(); n++) {
      if (cuts.get(n).length().equals(length)) {
        return cuts.remove(n);
      }
    }
    return null;
  }
}
