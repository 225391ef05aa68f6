package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.BiFunction;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.sequence.StopRules;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutOrder;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.Figure;
import org.kerftally.shared.plan.Figures;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;

/**
 * Recomputes the figures of a plan the slow way: stick by stick, cut by cut.
 *
 * <p>What it cannot check is that the bounds are safe.
 */
final class FigureChecker {

  private final PlanRequest request;
  private final CutPlan plan;
  private final Figures figures;
  private final List<String> faults = new ArrayList<>();

  private FigureChecker(PlanRequest request, CutPlan plan, Figures figures) {
    this.request = request;
    this.plan = plan;
    this.figures = figures;
  }

  /**
   * Returns what is wrong with a plan's figures; nothing where it states none.
   *
   * @param worth what an offcut of a material and a length is worth
   */
  static List<String> faults(
      PlanRequest request, CutPlan plan, BiFunction<String, Length, BigDecimal> worth) {
    @Nullable Figures figures = plan.figures();
    if (figures == null) {
      return List.of();
    }
    FigureChecker checker = new FigureChecker(request, plan, figures);
    checker.checkSums();
    checker.checkOffcuts(worth);
    checker.checkCounts();
    checker.checkOpenParts();
    checker.checkStop();
    return checker.faults;
  }

  private void checkSums() {
    Length stock = Length.ZERO;
    Length parts = Length.ZERO;
    Length kerfs = Length.ZERO;
    Length trims = Length.ZERO;
    Length waste = Length.ZERO;
    Length kept = Length.ZERO;
    for (PlannedSticks sticks : plan.sticks()) {
      for (int n = 0; n < sticks.repeat(); n++) {
        Length left = sticks.length().minus(sticks.leadTrim());
        stock = stock.plus(sticks.length());
        trims = trims.plus(sticks.leadTrim());
        for (Cut cut : sticks.cuts()) {
          Length kerf = rules(sticks).kerf().min(left.minus(cut.length()));
          parts = parts.plus(cut.length());
          kerfs = kerfs.plus(kerf);
          left = left.minus(cut.length()).minus(kerf);
        }
        boolean keep = rules(sticks).worthKeeping(left);
        kept = kept.plus(keep ? left : Length.ZERO);
        waste = waste.plus(keep ? Length.ZERO : left);
      }
    }
    same("stock", figures.stockLength(), stock);
    same("parts", figures.partLength(), parts);
    same("kerf", figures.kerfLength(), kerfs);
    same("lead trim", figures.trimLength(), trims);
    same("waste", figures.wasteLength(), waste);
    same("offcuts", figures.offcutLength(), kept);
  }

  private void checkOffcuts(BiFunction<String, Length, BigDecimal> worth) {
    Map<String, Length> kept = new HashMap<>();
    Length longest = Length.ZERO;
    for (PlannedSticks sticks : plan.sticks()) {
      Length offcut = sticks.offcut() == null ? Length.ZERO : sticks.offcut();
      kept.merge(sticks.material(), offcut.times(sticks.repeat()), Length::plus);
      longest = longest.max(offcut);
    }
    BigDecimal value = BigDecimal.ZERO;
    for (Map.Entry<String, Length> entry : kept.entrySet()) {
      value = value.add(worth.apply(entry.getKey(), entry.getValue()));
    }
    expect(value.compareTo(figures.offcutValue()) == 0, "offcuts are worth " + value);
    expect(figures.offcutValueBound().compareTo(value) >= 0, "offcut value above its bound");
    same("longest offcut", figures.longestOffcut(), longest);
    expect(!longest.isMoreThan(figures.longestOffcutBound()), "longest offcut above its bound");
  }

  private void checkCounts() {
    int handled = 0;
    Set<List<Object>> patterns = new HashSet<>();
    for (PlannedSticks sticks : plan.sticks()) {
      handled += sticks.kind() == StickKind.IN_SAW ? 0 : sticks.repeat();
      List<Length> lengths = sticks.cuts().stream().map(Cut::length).sorted().toList();
      patterns.add(
          List.of(sticks.material(), sticks.length(), sticks.kind(), sticks.cost(), lengths));
    }
    same("sticks handled", figures.sticks(), handled);
    same("distinct patterns", figures.patterns(), patterns.size());
  }

  private void checkOpenParts() {
    Map<List<Object>, Integer> last = new HashMap<>();
    for (int n = 0; n < plan.sticks().size(); n++) {
      for (Cut cut : plan.sticks().get(n).cuts()) {
        last.put(List.of(plan.sticks().get(n).material(), cut), n);
      }
    }
    Set<List<Object>> open = new HashSet<>();
    int most = 0;
    for (int n = 0; n < plan.sticks().size(); n++) {
      int here = n;
      for (Cut cut : plan.sticks().get(n).cuts()) {
        open.add(List.of(plan.sticks().get(n).material(), cut));
      }
      most = Math.max(most, open.size());
      open.removeIf(part -> last.getOrDefault(part, here) <= here);
    }
    same("parts open at once", figures.openParts(), most);
  }

  /** Follows the stop from cut to cut. */
  private void checkStop() {
    int moves = 0;
    long millis = 0;
    Length at = null;
    for (PlannedSticks sticks : plan.sticks()) {
      for (int n = 0; n < sticks.repeat(); n++) {
        boolean backwards = sticks.cutOrder() == CutOrder.TURNING && n % 2 == 1;
        for (Length stand : stands(sticks, backwards)) {
          if (!stand.equals(at)) {
            moves++;
            millis += at == null ? 0 : request.stop().motion().millis(at, stand);
          }
          at = stand;
        }
      }
    }
    same("stop moves", figures.stopMoves(), moves);
    expect(figures.stopTravelMillis() == millis, "the stop travels for " + millis + " ms");
  }

  private List<Length> stands(PlannedSticks sticks, boolean backwards) {
    StopRules stop = request.stop();
    Length kerf = rules(sticks).kerf();
    Length left = sticks.length().minus(sticks.leadTrim());
    boolean pusher = stop.layout() == Layout.INFEED_PUSHER;
    List<Length> stands = new ArrayList<>();
    if (sticks.leadTrim().isPositive()) {
      stands.add(pusher ? left : sticks.leadTrim().minus(kerf).max(stop.nearest()));
    }
    for (int n = 0; n < sticks.cuts().size(); n++) {
      Cut cut = sticks.cuts().get(backwards ? sticks.cuts().size() - 1 - n : n);
      boolean uncut = pusher && left.equals(cut.length()) && !stands.isEmpty();
      left = left.minus(cut.length()).minus(kerf);
      if (!uncut) {
        stands.add(pusher ? left.max(Length.ZERO) : cut.length());
      }
    }
    return stands;
  }

  private CutRules rules(PlannedSticks sticks) {
    return request.rules(sticks.material());
  }

  private void same(String name, Length stated, Length counted) {
    expect(stated.equals(counted), name + " is " + counted + ", stated " + stated);
  }

  private void same(String name, Figure stated, int counted) {
    expect(stated.value() == counted, name + ": " + counted + ", stated " + stated.value());
    expect(stated.bound() <= stated.value(), name + ": bound " + stated.bound() + " above it");
  }

  private void expect(boolean holds, String fault) {
    if (!holds) {
      faults.add("figures: " + fault);
    }
  }
}
