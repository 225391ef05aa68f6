package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Locale;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;

/**
 * Adds up a plan for people.
 *
 * @param sticks how many sticks it uses
 * @param pieces how many parts it makes
 * @param stickLength the sticks' lengths
 * @param partLength the parts' lengths
 * @param offcuts how many remainders it keeps
 * @param offcutLength their lengths
 * @param trimLength what squaring takes
 * @param scrapLength the remainders not worth keeping
 */
record PlanFigures(
    int sticks,
    int pieces,
    Length stickLength,
    Length partLength,
    int offcuts,
    Length offcutLength,
    Length trimLength,
    Length scrapLength) {

  static PlanFigures of(CutPlan plan) {
    int pieces = 0;
    int offcuts = 0;
    Length stickLength = Length.ZERO;
    Length partLength = Length.ZERO;
    Length offcutLength = Length.ZERO;
    Length trimLength = Length.ZERO;
    Length scrapLength = Length.ZERO;
    for (PlannedSticks sticks : plan.sticks()) {
      int times = sticks.repeat();
      stickLength = stickLength.plus(sticks.length().times(times));
      pieces += sticks.cuts().size() * times;
      for (Cut cut : sticks.cuts()) {
        partLength = partLength.plus(cut.length().times(times));
      }
      trimLength = trimLength.plus(sticks.leadTrim().times(times));
      if (sticks.offcut() != null) {
        offcuts += times;
        offcutLength = offcutLength.plus(sticks.offcut().times(times));
      } else {
        scrapLength = scrapLength.plus(sticks.rest().times(times));
      }
    }
    return new PlanFigures(
        plan.stickCount(),
        pieces,
        stickLength,
        partLength,
        offcuts,
        offcutLength,
        trimLength,
        scrapLength);
  }

  /** Returns kerfs, trims and the remainders not worth keeping. */
  Length waste() {
    return stickLength.minus(partLength).minus(offcutLength);
  }

  /** Returns what the blade takes, the squaring cuts apart. */
  Length kerfLength() {
    return waste().minus(trimLength).minus(scrapLength);
  }

  /** Writes the parts' share of the sticks: {@code 87.5 %}. */
  String yieldText() {
    return Shares.percent(partLength, stickLength);
  }

  /** Writes the waste's share of the sticks: {@code 4.1 %}. */
  String wasteText() {
    return Shares.percent(waste(), stickLength);
  }

  /** Says in words what the plan costs and how good that is. */
  static String costText(CutPlan plan) {
    String cost = "Cost " + number(plan.cost(), RoundingMode.HALF_UP);
    if (plan.proven()) {
      return cost + ", proven: no plan that makes as much costs less.";
    }
    BigDecimal gap = plan.cost().subtract(plan.bound());
    BigDecimal share =
        plan.cost().signum() <= 0
            ? BigDecimal.ZERO
            : gap.movePointRight(2).divide(plan.cost(), 1, RoundingMode.CEILING);
    return cost
        + ". No plan that makes as much costs less than "
        + number(plan.bound(), RoundingMode.FLOOR)
        + String.format(
            Locale.ROOT, ", so %s %% at the most could be saved.", share.toPlainString());
  }

  /** Writes a number with three decimals at the most. */
  static String number(BigDecimal number, RoundingMode rounding) {
    BigDecimal rounded = number.setScale(Math.min(3, Math.max(0, number.scale())), rounding);
    return rounded.signum() == 0 ? "0" : rounded.stripTrailingZeros().toPlainString();
  }
}
