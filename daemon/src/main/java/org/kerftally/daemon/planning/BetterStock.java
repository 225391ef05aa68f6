package org.kerftally.daemon.planning;

import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.ColumnSolver;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.LengthAdvice;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Looks for a stick length that would need less material than the new sticks of a plan.
 *
 * <p>What is compared, for each material by itself: the parts that the plan cuts from new sticks,
 * against a plan of the same parts from as many new sticks as needed, all of one other length. What
 * the first uses is its sticks less every offcut it keeps; what the second uses is its sticks less
 * its one longest offcut only, since a length chosen for this job should not live on leftovers. So
 * the saving is rather said too small than too large, and it is one that a checked plan really
 * makes. It is a saving of length, whatever sticks cost.
 *
 * <p>What is tried: for each number of sticks the shortest length whose sticks could hold all
 * parts, and a little more, for a pattern needs room to come out; and the longest that any pattern
 * of the plan fills. Each is rounded up to a whole step, lies between {@link #LEAST_PERCENT} % of
 * the shortest and {@link #MOST_PERCENT} % of the longest stick in use, and is planned with little
 * effort, most promising first. So there may be a better one: nothing is proven here.
 */
public final class BetterStock {

  static final int LEAST_PERCENT = 70;
  static final int MOST_PERCENT = 130;

  private static final int MOST_TRIED = 16;
  private static final int MOST_CANDIDATES = 2_000;
  private static final long UNITS_A_TRY = 8_000_000;

  /** What a length is made longer by, in thousandths, beyond what could just hold the parts. */
  private static final int[] ROOM_PERMILLE = {0, 3, 10, 25};

  /** A saving below one in so many is not worth another order. */
  private static final int LEAST_SAVING = 100;

  private record Candidate(Length length, Length sticks, Length atLeast) {}

  private final String material;
  private final CutRules rules;
  private final List<PlannedSticks> sticks;
  private final Length step;

  private BetterStock(String material, CutRules rules, List<PlannedSticks> sticks, Length step) {
    this.material = material;
    this.rules = rules;
    this.sticks = sticks;
    this.step = step;
  }

  /**
   * Looks for a better length for each material of a plan.
   *
   * @param step lengths tried are whole multiples of it
   * @param stop asked now and then whether to come to an end
   * @return the best found for each material where one saves at least one percent
   */
  public static List<LengthAdvice> advise(
      PlanRequest request, CutPlan plan, Length step, BooleanSupplier stop) {
    Map<String, List<PlannedSticks>> bought = new LinkedHashMap<>();
    for (PlannedSticks sticks : plan.sticks()) {
      if (sticks.kind() == StickKind.NEW) {
        bought.computeIfAbsent(sticks.material(), key -> new ArrayList<>()).add(sticks);
      }
    }
    List<LengthAdvice> all = new ArrayList<>();
    bought.forEach(
        (material, sticks) -> {
          BetterStock better = new BetterStock(material, request.rules(material), sticks, step);
          LengthAdvice advice = better.best(stop);
          if (advice != null) {
            all.add(advice);
          }
        });
    return all;
  }

  private @Nullable LengthAdvice best(BooleanSupplier stop) {
    List<Part> parts = parts();
    Length used = used(sticks, false);
    Length leastSaving = Length.ofNm(Math.max(1, used.nm() / LEAST_SAVING));
    int count = sticks.stream().mapToInt(PlannedSticks::repeat).sum();
    LengthAdvice best = null;
    int tried = 0;
    for (Candidate candidate : candidates(parts)) {
      Length least = best == null ? leastSaving : best.saved().plus(Length.ofNm(1));
      if (stop.getAsBoolean() || tried >= MOST_TRIED) {
        break;
      }
      if (used.minus(candidate.atLeast()).isLessThan(least)) {
        continue;
      }
      tried++;
      List<PlannedSticks> others = planned(parts, candidate.length(), stop);
      Length saved = used.minus(used(others, true));
      if (!saved.isLessThan(least)) {
        int instead = others.stream().mapToInt(PlannedSticks::repeat).sum();
        best = new LengthAdvice(material, count, used, candidate.length(), instead, saved);
      }
    }
    return best;
  }

  /** Returns the parts that are cut from these sticks, one for each length. */
  private List<Part> parts() {
    Map<Length, Integer> quantities = new LinkedHashMap<>();
    for (PlannedSticks some : sticks) {
      for (Cut cut : some.cuts()) {
        quantities.merge(cut.length(), some.repeat(), Integer::sum);
      }
    }
    List<Part> parts = new ArrayList<>();
    quantities.forEach(
        (length, quantity) -> parts.add(new Part("", length, quantity, material, 1, null)));
    return parts;
  }

  private List<PlannedSticks> planned(List<Part> parts, Length length, BooleanSupplier stop) {
    StockItem item = new StockItem(material, length, null, null, StickKind.NEW, null);
    MaterialModel model = new MaterialModel(parts, List.of(item), rules);
    MaterialPlan plan =
        new MaterialPlanner(model, new ColumnSolver()).plan(new Effort(stop, UNITS_A_TRY));
    return plan.sticks();
  }

  private static Length used(Collection<PlannedSticks> sticks, boolean oneOffcut) {
    Length used = Length.ZERO;
    Length longest = Length.ZERO;
    for (PlannedSticks some : sticks) {
      Length offcut = some.offcut() == null ? Length.ZERO : some.offcut();
      longest = longest.max(offcut);
      Length each = oneOffcut ? some.length() : some.length().minus(offcut);
      used = used.plus(each.times(some.repeat()));
    }
    return oneOffcut ? used.minus(longest) : used;
  }

  /** Returns the lengths to try, the one that could use least first. */
  private List<Candidate> candidates(List<Part> parts) {
    Length all = Length.ZERO;
    Length longestPart = Length.ZERO;
    for (Part part : parts) {
      all = all.plus(part.length().plus(rules.kerf()).times(part.quantity()));
      longestPart = longestPart.max(part.length());
    }
    // Without a tail allowance the last kerf may fall beside the stick.
    Length beside = rules.tail().isPositive() ? Length.ZERO : rules.kerf();
    Length lost = rules.leadTrim().plus(rules.tail()).minus(beside);
    Length shortest = longestPart.plus(rules.kerf()).plus(lost).max(percent(true));
    Length longest = percent(false);
    TreeSet<Length> lengths = new TreeSet<>();
    Length filled = Length.ZERO;
    for (PlannedSticks some : sticks) {
      filled = filled.max(some.length().minus(some.rest()).plus(rules.tail()));
    }
    lengths.add(roundedUp(filled));
    long fewest = Math.max(1, ratio(all, longest.minus(lost)));
    for (long n = fewest; n < fewest + MOST_CANDIDATES; n++) {
      Length just = Length.ofNm(-Math.floorDiv(-all.nm(), n)).plus(lost);
      if (just.isLessThan(shortest)) {
        lengths.add(roundedUp(shortest));
        break;
      }
      for (int permille : ROOM_PERMILLE) {
        lengths.add(roundedUp(just.plus(Length.ofNm(just.nm() / 1_000 * permille))));
      }
    }
    List<Candidate> candidates = new ArrayList<>();
    for (Length length : lengths) {
      if (!length.isLessThan(shortest) && !length.isMoreThan(longest)) {
        long least = -Math.floorDiv(-all.nm(), length.minus(lost).nm());
        // At best all that is left over lies in one stick and is kept.
        Length atLeast = all.plus(lost.times(least));
        candidates.add(new Candidate(length, length.times(least), atLeast));
      }
    }
    candidates.sort((a, b) -> a.sticks().compareTo(b.sticks()));
    return candidates;
  }

  private static long ratio(Length whole, Length part) {
    return part.isPositive() ? Math.floorDiv(whole.nm(), part.nm()) : 1;
  }

  private Length percent(boolean least) {
    Length extreme = sticks.get(0).length();
    for (PlannedSticks some : sticks) {
      extreme = least ? extreme.min(some.length()) : extreme.max(some.length());
    }
    return Length.ofNm(extreme.nm() / 100 * (least ? LEAST_PERCENT : MOST_PERCENT));
  }

  private Length roundedUp(Length length) {
    return step.times(-Math.floorDiv(-length.nm(), step.nm()));
  }
}
