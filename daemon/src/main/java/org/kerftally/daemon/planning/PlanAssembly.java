package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.daemon.planning.sequence.CutSequence;
import org.kerftally.daemon.planning.sequence.StopTime;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.Figure;
import org.kerftally.shared.plan.Figures;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Puts the plans of all materials together: the order of the sticks and the sums.
 *
 * <p>A material's sticks stay together, the one with the stick in the saw comes first. So the most
 * parts open at once are the most of any material, and the stop's way is that of each and the ways
 * between.
 */
final class PlanAssembly {

  /** What ordering may take of each material: some ten milliseconds. */
  private static final long ORDER_UNITS = 12_000_000;

  /** The same while an operator waits for the rest of a plan, and once told to stop. */
  private static final long LEAST_ORDER_UNITS = 5_000_000;

  private final PlanRequest request;
  private final List<MaterialPlan> plans;
  private final boolean quick;
  private final BooleanSupplier stop;
  private final List<PlannedSticks> sticks = new ArrayList<>();
  private int openParts;
  private int openBound;
  private int moves;
  private int leastMoves;
  private boolean travelProven;

  PlanAssembly(PlanRequest request, List<MaterialPlan> plans, boolean quick, BooleanSupplier stop) {
    this.quick = quick;
    this.request = request;
    this.plans =
        plans.stream()
            .filter(plan -> !plan.sticks().isEmpty())
            .sorted(Comparator.comparing(plan -> !startsInSaw(plan)))
            .toList();
    this.stop = stop;
    this.travelProven = this.plans.size() <= 1;
  }

  private static boolean startsInSaw(MaterialPlan plan) {
    return plan.sticks().get(0).kind() == StickKind.IN_SAW;
  }

  /**
   * Assembles the plan.
   *
   * @param all the plans of all materials, those without sticks too
   * @param hopeless the parts no material is there for
   * @param quick whether to spend little on the order
   */
  static CutPlan assemble(
      PlanRequest request,
      List<MaterialPlan> all,
      List<Shortage> hopeless,
      boolean quick,
      BooleanSupplier stop) {
    PlanAssembly assembly = new PlanAssembly(request, all, quick, stop);
    assembly.order();
    List<Shortage> shortages = new ArrayList<>(hopeless);
    BigDecimal cost = BigDecimal.ZERO;
    BigDecimal bound = BigDecimal.ZERO;
    boolean proven = true;
    boolean mostMade = true;
    for (MaterialPlan plan : all) {
      shortages.addAll(plan.shortages());
      cost = cost.add(plan.cost());
      bound = bound.add(plan.bound());
      proven &= plan.proven();
      mostMade &= plan.mostMade();
    }
    return new CutPlan(
        assembly.sticks,
        shortages,
        StickCosts.plain(cost),
        StickCosts.plain(bound),
        proven,
        assembly.figures(mostMade));
  }

  private void order() {
    Length at = null;
    MaterialPlan before = null;
    for (MaterialPlan plan : plans) {
      Effort effort =
          quick || stop.getAsBoolean()
              ? new Effort(() -> false, LEAST_ORDER_UNITS)
              : new Effort(stop, ORDER_UNITS);
      CutSequence.Sequenced ordered =
          CutSequence.order(plan.sticks(), request.stop(), kerf(plan), at, effort);
      sticks.addAll(ordered.sticks());
      openParts = Math.max(openParts, ordered.openParts().value());
      openBound = Math.max(openBound, ordered.openParts().bound());
      moves += ordered.stopMoves().value();
      leastMoves += ordered.stopMoves().bound() - (before == null ? 0 : shared(before, plan));
      travelProven &= ordered.travelProven();
      at = ordered.end();
      before = plan;
    }
  }

  /** A move that may be saved between two materials, were the first one ordered for it. */
  private int shared(MaterialPlan before, MaterialPlan after) {
    boolean apart =
        CutSequence.areApart(
            before.sticks(), kerf(before), after.sticks(), kerf(after), request.stop());
    return apart ? 0 : 1;
  }

  private Length kerf(MaterialPlan plan) {
    return request.rules(plan.sticks().get(0).material()).kerf();
  }

  private Figures figures(boolean mostMade) {
    Length stock = Length.ZERO;
    Length parts = Length.ZERO;
    Length kerfs = Length.ZERO;
    Length trims = Length.ZERO;
    Length waste = Length.ZERO;
    Length kept = Length.ZERO;
    for (PlannedSticks s : sticks) {
      CutRules rules = request.rules(s.material());
      Length sum = Length.ZERO;
      for (Cut cut : s.cuts()) {
        sum = sum.plus(cut.length());
      }
      Length gone = s.length().minus(s.leadTrim()).minus(sum).minus(s.rest());
      @Nullable Length offcut = s.offcut();
      stock = stock.plus(s.length().times(s.repeat()));
      parts = parts.plus(sum.times(s.repeat()));
      kerfs = kerfs.plus(gone.min(rules.kerf().times(s.cuts().size())).times(s.repeat()));
      trims = trims.plus(s.leadTrim().times(s.repeat()));
      waste = waste.plus((offcut == null ? s.rest() : Length.ZERO).times(s.repeat()));
      kept = kept.plus((offcut == null ? Length.ZERO : offcut).times(s.repeat()));
    }
    Figure open = new Figure(openParts, Math.min(openBound, openParts));
    return new Figures(
        mostMade,
        sum(plans.stream().map(MaterialPlan::handled).toList()),
        plans.stream()
            .map(plan -> worth(plan, kept(plan)))
            .reduce(BigDecimal.ZERO, BigDecimal::add),
        plans.stream()
            .map(plan -> worth(plan, plan.mostKept()))
            .reduce(BigDecimal.ZERO, BigDecimal::add),
        plans.stream().map(PlanAssembly::longest).reduce(Length.ZERO, Length::max),
        plans.stream().map(MaterialPlan::longest).reduce(Length.ZERO, Length::max),
        sum(plans.stream().map(MaterialPlan::patterns).toList()),
        open,
        request.stop().mostOpenParts(),
        new Figure(moves, leastMoves),
        StopTime.millis(sticks, request.stop(), material -> request.rules(material).kerf()),
        travelProven,
        stock,
        parts,
        kerfs,
        trims,
        waste,
        kept);
  }

  private BigDecimal worth(MaterialPlan plan, Length kept) {
    String material = plan.sticks().get(0).material();
    List<StockItem> stock =
        request.stock().stream().filter(item -> item.material().equals(material)).toList();
    return StickCosts.offcutValue(stock, kept);
  }

  private static Length kept(MaterialPlan plan) {
    Length kept = Length.ZERO;
    for (PlannedSticks s : plan.sticks()) {
      kept = kept.plus((s.offcut() == null ? Length.ZERO : s.offcut()).times(s.repeat()));
    }
    return kept;
  }

  private static Length longest(MaterialPlan plan) {
    return plan.sticks().stream()
        .map(s -> s.offcut() == null ? Length.ZERO : s.offcut())
        .reduce(Length.ZERO, Length::max);
  }

  private static Figure sum(List<Figure> figures) {
    return new Figure(
        figures.stream().mapToInt(Figure::value).sum(),
        figures.stream().mapToInt(Figure::bound).sum());
  }
}
