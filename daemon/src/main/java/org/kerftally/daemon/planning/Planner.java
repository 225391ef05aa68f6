package org.kerftally.daemon.planning;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.BooleanSupplier;
import org.kerftally.daemon.planning.packing.ColumnSolver;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.daemon.planning.packing.PackingSolver;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StockItem;

/**
 * Plans how parts are cut from stock.
 *
 * <p>What is minimised, in order: unmade parts by priority, the cost of the sticks, sticks handled,
 * the offcuts worth keeping, the longest of them, distinct patterns, parts open at once, the stop's
 * moves and their time. Each is minimised as far as the effort goes, and stated with its bound.
 * Materials are planned each by itself.
 *
 * <p>Every plan passes {@link PlanChecker} before it is returned.
 */
public final class Planner {

  /** The work one material may take at the most when nobody stops it: about ten seconds. */
  private static final long MOST_UNITS = 30_000_000_000L;

  /** The work each of several materials may take before all have had their turn. */
  private static final long FIRST_UNITS = 600_000_000L;

  private final PackingSolver solver;

  /** Makes a planner. */
  public Planner() {
    this(new ColumnSolver());
  }

  Planner(PackingSolver solver) {
    this.solver = solver;
  }

  /**
   * Plans a request.
   *
   * <p>Deterministic: the same request gives the same plan as long as {@code stop} answers alike.
   * Anytime: once {@code stop} says true the best plan found so far is returned soon. Thread-safe.
   *
   * @param request what to plan
   * @param stop asked every so often from the calling thread whether to come to an end
   * @return a checked plan
   * @throws UnplannableException when the request holds numbers out of all proportion: more than a
   *     million pieces of one material, or costs negative or with more than six decimals
   * @throws IllegalStateException when the plan fails its check: a fault of the planner
   */
  public CutPlan plan(PlanRequest request, BooleanSupplier stop) {
    return replan(request, List.of(), stop);
  }

  /**
   * Plans what is left of a request from what was planned before: the former sticks' patterns are
   * kept as far as they still hold, so that a good plan is there at once, and bettered while nobody
   * says stop. The former plan need not fit the request: it is a proposal.
   *
   * @param request what is to be planned now
   * @param former sticks of the former plan that were not cut
   * @param stop asked every so often from the calling thread whether to come to an end
   * @return a checked plan
   * @throws UnplannableException as {@link #plan} does
   * @throws IllegalStateException when the plan fails its check: a fault of the planner
   */
  public CutPlan replan(PlanRequest request, List<PlannedSticks> former, BooleanSupplier stop) {
    Map<String, List<Part>> partsByMaterial = new LinkedHashMap<>();
    List<Shortage> shortages = new ArrayList<>();
    for (Part part : request.parts()) {
      String material = request.stockMaterial(part);
      if (material == null) {
        shortages.add(new Shortage(part.name(), part.material(), part.length(), part.quantity()));
      } else {
        partsByMaterial.computeIfAbsent(material, key -> new ArrayList<>()).add(part);
      }
    }
    List<MaterialPlanner> planners = new ArrayList<>();
    partsByMaterial.forEach(
        (material, parts) -> {
          List<StockItem> stock =
              request.stock().stream().filter(item -> item.material().equals(material)).toList();
          MaterialModel model = model(parts, stock, request.rules(material));
          planners.add(new MaterialPlanner(model, solver, former(former, material)));
        });
    CutPlan plan =
        PlanAssembly.assemble(request, inTurns(planners, stop), shortages, !former.isEmpty(), stop);
    List<String> faults = PlanChecker.faults(request, plan);
    if (!faults.isEmpty()) {
      throw new IllegalStateException(
          "the plan fails its check: " + String.join("; ", faults) + "; " + plan + "; " + request);
    }
    return plan;
  }

  private static List<PlannedSticks> former(List<PlannedSticks> all, String material) {
    return all.stream().filter(sticks -> sticks.material().equals(material)).toList();
  }

  private static MaterialModel model(List<Part> parts, List<StockItem> stock, CutRules rules) {
    try {
      return new MaterialModel(parts, stock, rules);
    } catch (ArithmeticException e) {
      throw new UnplannableException(
          "too large to plan: lengths times pieces, or a cost, leave the range that is counted",
          "split the job into several files, and round the costs in the stock file");
    }
  }

  /** Plans every material a little, then those that are not proven as far as it goes. */
  private static List<MaterialPlan> inTurns(List<MaterialPlanner> planners, BooleanSupplier stop) {
    List<MaterialPlan> plans = new ArrayList<>();
    long firstUnits = planners.size() == 1 ? MOST_UNITS : FIRST_UNITS;
    for (MaterialPlanner planner : planners) {
      plans.add(planner.plan(new Effort(stop, firstUnits)));
    }
    for (int n = 0; n < plans.size() && planners.size() > 1; n++) {
      if (!plans.get(n).proven() && !stop.getAsBoolean()) {
        MaterialPlan longer = planners.get(n).plan(new Effort(stop, MOST_UNITS));
        plans.set(n, better(plans.get(n), longer));
      }
    }
    return plans;
  }

  /**
   * Takes the second plan of a material unless it was stopped before it got as far as the first.
   */
  private static MaterialPlan better(MaterialPlan first, MaterialPlan second) {
    long unmade = second.missing() - first.missing();
    boolean worse = unmade > 0 || (unmade == 0 && second.cost().compareTo(first.cost()) > 0);
    return worse ? first : second;
  }
}
