package org.kerftally.daemon.planning;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.sequence.StopRules;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.stock.StockItem;

/**
 * States what is to be planned: parts, the stock at hand, and the rules of the saw.
 *
 * @param parts the wanted parts
 * @param stock the sticks at hand
 * @param rulesByMaterial the rules of materials that have their own
 * @param defaultRules the rules of all other materials
 * @param stop what decides the order of work
 */
public record PlanRequest(
    List<Part> parts,
    List<StockItem> stock,
    Map<String, CutRules> rulesByMaterial,
    CutRules defaultRules,
    StopRules stop) {

  /** Copies the collections. */
  public PlanRequest {
    parts = List.copyOf(parts);
    stock = List.copyOf(stock);
    rulesByMaterial = Map.copyOf(rulesByMaterial);
  }

  /** Makes a request that knows nothing of the stop. */
  public PlanRequest(
      List<Part> parts,
      List<StockItem> stock,
      Map<String, CutRules> rulesByMaterial,
      CutRules defaultRules) {
    this(parts, stock, rulesByMaterial, defaultRules, StopRules.PLAIN);
  }

  /**
   * Returns the stock's name for the material that a part is cut from, or {@code null} where the
   * stock has none. Where the stock has only one material, a part without a material takes it; a
   * stock without a material serves every part.
   */
  public @Nullable String stockMaterial(Part part) {
    Set<String> names = new LinkedHashSet<>();
    for (StockItem item : stock) {
      names.add(item.material());
    }
    if (names.contains(part.material())) {
      return part.material();
    }
    if (names.size() == 1) {
      String only = names.iterator().next();
      return part.material().isEmpty() || only.isEmpty() ? only : null;
    }
    return null;
  }

  /**
   * Returns the rules for a material of the stock. A stock without a material goes by the parts'
   * own, where they name only one.
   */
  public CutRules rules(String stockMaterial) {
    String name = stockMaterial;
    if (name.isEmpty()) {
      Set<String> named = parts.stream().map(Part::material).collect(Collectors.toSet());
      name = named.size() == 1 ? named.iterator().next() : "";
    }
    return rulesByMaterial.getOrDefault(name, defaultRules);
  }
}
