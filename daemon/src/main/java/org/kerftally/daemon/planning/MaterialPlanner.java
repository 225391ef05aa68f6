package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.AfterCost;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.daemon.planning.packing.Instance;
import org.kerftally.daemon.planning.packing.Packing;
import org.kerftally.daemon.planning.packing.PackingSolver;
import org.kerftally.daemon.planning.packing.Repair;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.Figure;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/** Plans one material: packs its model, then writes the packing as sticks with named cuts. */
final class MaterialPlanner {

  /** The share of what comes after cost: about a tenth of a second. */
  private static final long AFTER_UNITS = 50_000_000;

  /** The same while an operator waits for the rest of a plan, and once the effort is spent. */
  private static final long LEAST_AFTER_UNITS = 5_000_000;

  private final MaterialModel model;
  private final PackingSolver solver;
  private final List<PlannedSticks> former;

  MaterialPlanner(MaterialModel model, PackingSolver solver) {
    this(model, solver, List.of());
  }

  /**
   * Starts from a former plan.
   *
   * @param former its sticks of this material that were not cut; empty for none
   */
  MaterialPlanner(MaterialModel model, PackingSolver solver, List<PlannedSticks> former) {
    this.model = model;
    this.solver = solver;
    this.former = List.copyOf(former);
  }

  /** Plans the material by itself. */
  MaterialPlan plan(Effort effort) {
    Instance instance = model.instance();
    Packing packing = null;
    PackingSolver.Outcome outcome = new PackingSolver.Outcome(null, 0);
    if (instance.everyPieceFits()) {
      outcome = solver.solve(instance, start(effort), effort);
      packing = outcome.packing();
    }
    boolean mostProven = true;
    boolean complete = packing != null;
    if (packing == null) {
      List<int[]> levels = model.levels().stream().map(model::demands).toList();
      ShortagePlanner.Choice choice =
          new ShortagePlanner(solver, instance, levels, effort).choose();
      outcome = choice.outcome();
      packing = outcome.packing();
      mostProven = choice.mostProven();
    }
    if (packing == null) {
      throw new IllegalStateException("no packing of what was chosen: " + instance);
    }
    Instance made = instance.withDemands(packing.made(instance));
    AfterCost.Result after =
        AfterCost.better(
            made, model.offcutRule(), packing, outcome.bound(), solver, afterCost(effort));
    packing = after.packing();
    long bound = complete ? after.costBound() : outcome.bound();
    PartNames names = new PartNames(model);
    List<PlannedSticks> sticks = sticks(packing, names);
    return new MaterialPlan(
        sticks,
        names.missing(),
        model.cost(packing.cost()),
        model.cost(Math.min(bound, packing.cost())),
        mostProven && packing.cost() == bound,
        mostProven,
        new Figure((int) packing.handled(), (int) after.fewestHandled()),
        Length.ofNm(after.mostKeptNm()),
        Length.ofNm(after.longestNm()),
        new Figure(packing.uses().size(), after.fewestPatterns()));
  }

  /** What comes after cost has its own share of the effort, and a little once that is spent. */
  private Effort afterCost(Effort effort) {
    boolean quick = effort.spent() || !former.isEmpty();
    return quick ? new Effort(() -> false, LEAST_AFTER_UNITS) : effort.part(AFTER_UNITS);
  }

  /** Packs what is wanted now by the former plan's patterns, where there was one. */
  private @Nullable Packing start(Effort effort) {
    List<Repair.Former> known = new ArrayList<>();
    for (PlannedSticks sticks : former) {
      int type = model.type(sticks.length(), sticks.kind());
      List<Integer> items = new ArrayList<>();
      for (Cut cut : sticks.cuts()) {
        int item = model.itemOf(cut.length());
        if (item >= 0) {
          items.add(item);
        }
      }
      if (type >= 0 && !items.isEmpty()) {
        known.add(new Repair.Former(type, items, sticks.repeat()));
      }
    }
    return known.isEmpty() ? null : Repair.packing(model.instance(), known, effort);
  }

  private List<PlannedSticks> sticks(Packing packing, PartNames names) {
    List<Packing.Use> uses = new ArrayList<>(packing.uses());
    uses.sort(order());
    List<Supply> supplies = new ArrayList<>();
    for (int t = 0; t < model.instance().types().size(); t++) {
      supplies.add(new Supply(model.items(t)));
    }
    Map<PlannedSticks, Integer> repeats = new LinkedHashMap<>();
    for (Packing.Use use : uses) {
      int type = use.pattern().type();
      for (PartNames.Named named : names.name(use.pattern(), use.times())) {
        int left = named.times();
        while (left > 0) {
          int taken = supplies.get(type).available(left);
          StockItem item = supplies.get(type).take(taken);
          repeats.merge(planned(item, model.stickCost(type), named), taken, Integer::sum);
          left -= taken;
        }
      }
    }
    List<PlannedSticks> sticks = new ArrayList<>();
    repeats.forEach((single, repeat) -> sticks.add(single.repeated(repeat)));
    return sticks;
  }

  /** The stick in the saw, then offcuts, then new ones; the longest rest of its kind last. */
  private Comparator<Packing.Use> order() {
    return Comparator.<Packing.Use, StickKind>comparing(use -> kind(use), Comparator.reverseOrder())
        .thenComparingLong(this::room)
        .thenComparing(use -> -use.times())
        .thenComparing(use -> use.pattern().toString());
  }

  private StickKind kind(Packing.Use use) {
    return model.instance().types().get(use.pattern().type()).kind();
  }

  private long room(Packing.Use use) {
    return model.instance().types().get(use.pattern().type()).reach() - use.pattern().fill();
  }

  /** Returns one stick with its cuts. */
  private PlannedSticks planned(StockItem item, BigDecimal cost, PartNames.Named named) {
    Length trim = model.leadTrim(item.kind());
    Length sum = Length.ZERO;
    for (var cut : named.cuts()) {
      sum = sum.plus(cut.length());
    }
    Length remainder = model.rules().remainder(item.length(), trim, sum, named.cuts().size());
    Length rest = remainder.max(Length.ZERO);
    @Nullable Length offcut = model.rules().worthKeeping(remainder) ? rest : null;
    return new PlannedSticks(
        item.material(),
        item.length(),
        item.kind(),
        item.label(),
        cost,
        1,
        trim,
        named.cuts(),
        rest,
        offcut);
  }

  /** Takes sticks from the stock items behind one type, one item to its end before the next. */
  private static final class Supply {
    private final List<StockItem> items;
    private int at;
    private int takenHere;

    Supply(List<StockItem> items) {
      this.items = items;
    }

    /** Returns how many of the wanted ones the item at hand has, at least 1. */
    int available(int wanted) {
      while (here() == 0) {
        at++;
        takenHere = 0;
      }
      return (int) Math.min(wanted, here());
    }

    private long here() {
      Integer quantity = items.get(at).quantity();
      return quantity == null ? Long.MAX_VALUE : (long) quantity - takenHere;
    }

    StockItem take(int sticks) {
      takenHere += sticks;
      return items.get(at);
    }
  }
}
