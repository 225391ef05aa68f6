package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Builds plan requests in a line or two, lengths in whole millimetres unless they say otherwise.
 */
final class Requests {

  static final String MATERIAL = "pine-19x146";

  private final List<Part> parts = new ArrayList<>();
  private final List<StockItem> stock = new ArrayList<>();
  private CutRules rules = rules(0, 0, 0, true);

  static CutRules rules(long kerfMm, long trimMm, long tailMm, boolean slivers) {
    return new CutRules(
        Length.ofMm(kerfMm), Length.ofMm(trimMm), Length.ofMm(tailMm), Length.ofMm(300), slivers);
  }

  Requests rules(CutRules all) {
    this.rules = all;
    return this;
  }

  Requests part(String name, long lengthMm, int quantity) {
    return part(name, lengthMm, quantity, 1);
  }

  Requests part(String name, long lengthMm, int quantity, int priority) {
    return part(new Part(name, Length.ofMm(lengthMm), quantity, MATERIAL, priority, null));
  }

  Requests part(Part part) {
    parts.add(part);
    return this;
  }

  Requests sticks(long lengthMm, @Nullable Integer quantity, @Nullable String cost) {
    return sticks(lengthMm, quantity, cost, StickKind.NEW, null);
  }

  Requests sticks(
      long lengthMm,
      @Nullable Integer quantity,
      @Nullable String cost,
      StickKind kind,
      @Nullable String label) {
    BigDecimal number = cost == null ? null : new BigDecimal(cost);
    return sticks(new StockItem(MATERIAL, Length.ofMm(lengthMm), quantity, number, kind, label));
  }

  Requests sticks(StockItem item) {
    stock.add(item);
    return this;
  }

  PlanRequest request() {
    return new PlanRequest(parts, stock, Map.of(), rules);
  }
}
