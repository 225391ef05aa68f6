package org.kerftally.daemon.planning.sequence;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.Figure;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;

/**
 * Puts the sticks of one material, and the cuts of each, into the order they are cut in.
 *
 * <p>First as few parts as can be are to be open at once; a limit that is met is enough. Holding
 * that, the stop is to move as seldom as can be, and then as short a time. The stick in the saw
 * stays first.
 */
public final class CutSequence {

  private CutSequence() {}

  /**
   * Says what was found.
   *
   * @param sticks the sticks in order
   * @param openParts the most parts open at once
   * @param stopMoves how often the stop moves, the first move included
   * @param travelProven whether no order with as few moves takes less time
   * @param end where the stop stands at the end, or {@code null} where nothing is cut
   */
  public record Sequenced(
      List<PlannedSticks> sticks,
      Figure openParts,
      Figure stopMoves,
      boolean travelProven,
      @Nullable Length end) {

    /** Copies the list. */
    public Sequenced {
      sticks = List.copyOf(sticks);
    }
  }

  /**
   * Orders the sticks of one material.
   *
   * @param sticks the sticks, that in the saw first, in an order that is kept where nothing speaks
   *     against it
   * @param kerf the material's kerf
   * @param from where the stop stands before, or {@code null} where that is not known
   * @param effort how far to go; spent, the order is that of simple rules
   */
  public static Sequenced order(
      List<PlannedSticks> sticks,
      StopRules rules,
      Length kerf,
      @Nullable Length from,
      Effort effort) {
    if (sticks.isEmpty()) {
      return new Sequenced(sticks, new Figure(0, 0), new Figure(0, 0), true, from);
    }
    int first = (int) sticks.stream().takeWhile(s -> s.kind() == StickKind.IN_SAW).count();
    List<BitSet> parts = parts(sticks);
    int count = parts.stream().mapToInt(BitSet::length).max().orElse(0);
    OpenParts.Order open = OpenParts.best(parts, first, count, effort);
    Integer allowed = rules.mostOpenParts();
    int limit = allowed == null ? open.most() : Math.max(allowed, open.most());
    List<PlannedSticks> given = new ArrayList<>();
    List<BitSet> givenParts = new ArrayList<>();
    for (int n : open.order()) {
      given.add(sticks.get(n));
      givenParts.add(parts.get(n));
    }
    List<List<StopWay>> ways = new ArrayList<>();
    boolean complete = true;
    for (PlannedSticks one : given) {
      ways.add(StopWays.of(one, rules, kerf));
      complete &= StopWays.isComplete(one, rules);
    }
    StopOrder.Found found =
        new StopOrder(ways, givenParts, first, limit, rules, from, effort).find();
    List<PlannedSticks> ordered = new ArrayList<>();
    for (int n = 0; n < found.order().size(); n++) {
      StopWay way = found.picks().get(n);
      ordered.add(given.get(found.order().get(n)).ordered(way.cuts(), way.goingOn()));
    }
    int most = OpenParts.most(givenParts, found.order());
    long least = complete ? found.leastMoves() : leastOfAll(given, rules, kerf, from);
    return new Sequenced(
        ordered,
        new Figure(most, Math.min(open.bound(), most)),
        new Figure((int) found.moves(), (int) Math.min(least, found.moves())),
        found.proven() && complete,
        found.picks().get(found.picks().size() - 1).end());
  }

  /** Returns moves that sticks cannot do without, where not all ways to cut them are known. */
  private static long leastOfAll(
      List<PlannedSticks> sticks, StopRules rules, Length kerf, @Nullable Length from) {
    long moves = from == null ? 1 : 0;
    for (PlannedSticks one : sticks) {
      boolean square = StopWays.square(one, rules, kerf) != null;
      long lengths = one.cuts().stream().map(Cut::length).distinct().count();
      moves += one.repeat() * (square ? lengths : lengths - 1);
    }
    return moves;
  }

  /** Numbers the parts, told apart by name and length, and returns those of each. */
  private static List<BitSet> parts(List<PlannedSticks> sticks) {
    Map<Cut, Integer> numbers = new HashMap<>();
    List<BitSet> parts = new ArrayList<>();
    for (PlannedSticks one : sticks) {
      BitSet set = new BitSet();
      for (Cut cut : one.cuts()) {
        set.set(numbers.computeIfAbsent(cut, key -> numbers.size()));
      }
      parts.add(set);
    }
    return parts;
  }

  /** Tells whether no position of one material's sticks is one of another's. */
  public static boolean areApart(
      List<PlannedSticks> some,
      Length kerf,
      List<PlannedSticks> others,
      Length kerfOfOthers,
      StopRules rules) {
    Set<Length> stands = new HashSet<>();
    some.forEach(s -> stands.addAll(StopWays.stands(s, rules, kerf)));
    return others.stream()
        .flatMap(s -> StopWays.stands(s, rules, kerfOfOthers).stream())
        .noneMatch(stands::contains);
  }
}
