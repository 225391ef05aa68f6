package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.util.List;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Figure;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;

/**
 * Says how one material is cut, before its sticks are put in order.
 *
 * @param sticks the sticks, that in the saw first
 * @param shortages the parts that cannot be made
 * @param cost the sum of the sticks' costs
 * @param bound a safe lower bound on the cost
 * @param proven whether nothing makes more, or as much for less
 * @param mostMade whether it is proven that nothing more important can be made
 * @param handled the sticks taken from the rack
 * @param mostKept the most that could be kept as offcuts, in all
 * @param longest the longest offcut that could be kept
 * @param patterns the distinct patterns
 */
record MaterialPlan(
    List<PlannedSticks> sticks,
    List<Shortage> shortages,
    BigDecimal cost,
    BigDecimal bound,
    boolean proven,
    boolean mostMade,
    Figure handled,
    Length mostKept,
    Length longest,
    Figure patterns) {

  /** Copies the lists. */
  MaterialPlan {
    sticks = List.copyOf(sticks);
    shortages = List.copyOf(shortages);
  }

  /** Returns how many pieces cannot be made. */
  long missing() {
    return shortages.stream().mapToLong(Shortage::missing).sum();
  }
}
