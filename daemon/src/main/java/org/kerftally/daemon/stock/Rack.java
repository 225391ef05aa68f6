package org.kerftally.daemon.stock;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Works on a copy of the rack: takes sticks away line by line. For one thread and one use.
 *
 * <p>Sticks are of one sort when material, length, kind and label agree. Where several lines are of
 * one sort, a stick comes from the line of its own cost first, then from one that can run out, then
 * from one that cannot.
 */
final class Rack {

  private final List<Line> lines = new ArrayList<>();
  private final Map<Sort, List<Line>> bySort = new HashMap<>();

  Rack(List<StockItem> items) {
    for (StockItem item : items) {
      Line line = new Line(item);
      lines.add(line);
      bySort.computeIfAbsent(Sort.of(item), sort -> new ArrayList<>()).add(line);
    }
  }

  /** Says which sticks are as good as each other. */
  private record Sort(String material, Length length, StickKind kind, @Nullable String label) {

    static Sort of(StockItem item) {
      return new Sort(item.material(), item.length(), item.kind(), item.label());
    }

    static Sort of(PlannedSticks sticks) {
      return new Sort(sticks.material(), sticks.length(), sticks.kind(), sticks.label());
    }
  }

  private static final class Line {
    final StockItem item;
    @Nullable Integer quantity;

    Line(StockItem item) {
      this.item = item;
      this.quantity = item.quantity();
    }

    boolean costs(BigDecimal cost) {
      return item.cost() != null && item.cost().compareTo(cost) == 0;
    }

    /** Takes up to so many and returns how many are still wanted. */
    int take(int wanted) {
      if (quantity == null) {
        return 0;
      }
      int taken = Math.min(quantity, wanted);
      quantity -= taken;
      return wanted - taken;
    }
  }

  /** Takes as many of the planned sticks as there are; what is not there cannot be taken. */
  void take(PlannedSticks sticks) {
    int wanted = sticks.repeat();
    List<Line> candidates = new ArrayList<>(bySort.getOrDefault(Sort.of(sticks), List.of()));
    candidates.sort(
        Comparator.comparing((Line line) -> !line.costs(sticks.cost()))
            .thenComparing(line -> line.quantity == null));
    for (Line line : candidates) {
      wanted = line.take(wanted);
    }
  }

  /** Returns what is left, without lines that ran out. */
  List<StockItem> items() {
    List<StockItem> left = new ArrayList<>();
    for (Line line : lines) {
      if (line.quantity == null || line.quantity > 0) {
        StockItem i = line.item;
        left.add(
            new StockItem(i.material(), i.length(), line.quantity, i.cost(), i.kind(), i.label()));
      }
    }
    return List.copyOf(left);
  }
}
