package org.kerftally.shared.plan;

import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * States how a job is cut from the stock at hand, and how good that is.
 *
 * <p>Guarantees of a plan that passed the plan checker: every pattern fits its stick, every wanted
 * part is planned or listed as short, no stick is used more often than it is there, {@code cost} is
 * the sum of the sticks' costs, and no plan that makes as many parts costs less than {@code bound}.
 *
 * @param sticks the sticks in the order they are cut
 * @param shortages the parts that cannot be made, part by part; empty when all can
 * @param cost the sum of the sticks' costs, in the stock's cost unit
 * @param bound a proven lower bound on the cost, at most {@code cost}
 * @param proven whether bound and cost meet, so that no plan is better
 * @param figures what comes after cost; {@code null} where nobody worked it out
 */
public record CutPlan(
    List<PlannedSticks> sticks,
    List<Shortage> shortages,
    BigDecimal cost,
    BigDecimal bound,
    boolean proven,
    @Nullable Figures figures) {

  /** Copies the lists. */
  public CutPlan {
    sticks = List.copyOf(sticks);
    shortages = List.copyOf(shortages);
  }

  /** States a plan without figures. */
  public CutPlan(
      List<PlannedSticks> sticks,
      List<Shortage> shortages,
      BigDecimal cost,
      BigDecimal bound,
      boolean proven) {
    this(sticks, shortages, cost, bound, proven, null);
  }

  /** Returns how many sticks the plan uses. */
  public int stickCount() {
    return sticks.stream().mapToInt(PlannedSticks::repeat).sum();
  }
}
