package org.kerftally.daemon.service;

import java.math.BigDecimal;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.function.BooleanSupplier;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/** Plans by first fit: enough for a station, which cuts any valid plan, and quick. */
final class FirstFit implements PlanDesk.Replanner {

  private static final int MAX_STICKS = 1_000;

  @Override
  public CutPlan replan(PlanRequest request, List<PlannedSticks> former, BooleanSupplier stop) {
    Deque<Cut> todo = new ArrayDeque<>();
    for (Part part : request.parts()) {
      for (int i = 0; i < part.quantity(); i++) {
        todo.add(new Cut(part.name(), part.length()));
      }
    }
    List<PlannedSticks> sticks = new ArrayList<>();
    for (StickKind kind : List.of(StickKind.IN_SAW, StickKind.OFFCUT, StickKind.NEW)) {
      for (StockItem item : request.stock()) {
        if (item.kind() == kind) {
          fill(request, todo, item, sticks);
        }
      }
    }
    List<Shortage> shortages =
        todo.stream()
            .map(c -> new Shortage(c.part(), request.parts().get(0).material(), c.length(), 1))
            .toList();
    return new CutPlan(sticks, shortages, BigDecimal.ONE, BigDecimal.ONE, true);
  }

  private static void fill(
      PlanRequest request, Deque<Cut> todo, StockItem item, List<PlannedSticks> sticks) {
    CutRules rules =
        request.rulesByMaterial().getOrDefault(item.material(), request.defaultRules());
    Length trim = item.kind() == StickKind.IN_SAW ? Length.ZERO : rules.leadTrim();
    int there = item.quantity() == null ? MAX_STICKS : item.quantity();
    for (int i = 0; i < there && !todo.isEmpty(); i++) {
      List<Cut> cuts = new ArrayList<>();
      Length rest = item.length().minus(trim);
      while (!todo.isEmpty()) {
        Length next = rest.minus(todo.peek().length()).minus(rules.kerf());
        if (!rules.fits(next)) {
          break;
        }
        rest = next;
        cuts.add(todo.poll());
      }
      if (cuts.isEmpty()) {
        return;
      }
      Length left = rest.max(Length.ZERO);
      sticks.add(
          new PlannedSticks(
              item.material(),
              item.length(),
              item.kind(),
              item.label(),
              BigDecimal.ONE,
              1,
              trim,
              cuts,
              left,
              rules.worthKeeping(left) ? left : null));
    }
  }
}
