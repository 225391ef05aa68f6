package org.kerftally.daemon.planning;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Narrows a request to what the stop of one station can reach.
 *
 * <p>Behind an outfeed stop a target is a part's length, so a part must lie within the travel. With
 * an infeed pusher a target is what remains behind the blade: L − t when a stick of length L has
 * been squared by a lead trim t, falling to what remains after the last cut. So the travel's upper
 * end bounds the stick, and its lower end is a tail allowance: a remainder that the pusher cannot
 * reach cannot be cut off. A sliver cut leaves less than nothing, and stays allowed only where the
 * travel goes a kerf below zero.
 */
public final class StationReach {

  private StationReach() {}

  /**
   * Says what is left of a request, and what was taken out.
   *
   * @param request the request with only what can be reached, and the rules narrowed
   * @param unreachableParts the parts that were taken out
   * @param unusableSticks the sticks that were taken out
   */
  public record Narrowed(
      PlanRequest request, List<Part> unreachableParts, List<StockItem> unusableSticks) {

    /** Copies the lists. */
    public Narrowed {
      unreachableParts = List.copyOf(unreachableParts);
      unusableSticks = List.copyOf(unusableSticks);
    }
  }

  /** Narrows a request to a station's layout and travel. */
  public static Narrowed narrow(PlanRequest request, Layout layout, Travel travel) {
    return switch (layout) {
      case OUTFEED_STOP -> narrowParts(request, travel);
      case INFEED_PUSHER -> narrowSticks(request, travel);
    };
  }

  private static Narrowed narrowParts(PlanRequest request, Travel travel) {
    List<Part> reached = new ArrayList<>();
    List<Part> unreachable = new ArrayList<>();
    for (Part part : request.parts()) {
      (travel.reaches(part.length()) ? reached : unreachable).add(part);
    }
    PlanRequest narrowed =
        new PlanRequest(
            reached,
            request.stock(),
            request.rulesByMaterial(),
            request.defaultRules(),
            request.stop());
    return new Narrowed(narrowed, unreachable, List.of());
  }

  private static Narrowed narrowSticks(PlanRequest request, Travel travel) {
    List<StockItem> usable = new ArrayList<>();
    List<StockItem> unusable = new ArrayList<>();
    for (StockItem item : request.stock()) {
      CutRules rules = request.rules(item.material());
      Length trim = item.kind() == StickKind.IN_SAW ? Length.ZERO : rules.leadTrim();
      boolean reached = !item.length().minus(trim).isMoreThan(travel.max());
      (reached ? usable : unusable).add(item);
    }
    Map<String, CutRules> rules = new HashMap<>();
    request.rulesByMaterial().forEach((name, own) -> rules.put(name, narrowed(own, travel)));
    PlanRequest narrowed =
        new PlanRequest(
            request.parts(),
            usable,
            rules,
            narrowed(request.defaultRules(), travel),
            request.stop());
    return new Narrowed(narrowed, List.of(), unusable);
  }

  private static CutRules narrowed(CutRules rules, Travel travel) {
    Length tail = rules.tail().max(travel.min());
    boolean slivers = rules.sliverCuts() && !travel.min().plus(rules.kerf()).isPositive();
    return new CutRules(rules.kerf(), rules.leadTrim(), tail, rules.minOffcut(), slivers);
  }
}
