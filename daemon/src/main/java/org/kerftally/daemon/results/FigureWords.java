package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import org.kerftally.shared.plan.Figure;
import org.kerftally.shared.plan.Figures;

/**
 * Says in words what a plan achieves after its cost, and how good each of it is known to be.
 *
 * <p>The words come in the order of the objectives. {@code proven} stands behind a figure that no
 * plan betters that is as good in all before it; where that is not known, the bound stands there.
 */
final class FigureWords {

  private static final BigDecimal MILLIS_A_SECOND = BigDecimal.valueOf(1000);

  private FigureWords() {}

  /** Returns one sentence, in parts that may be wrapped between. */
  static List<String> of(Figures figures, UnitText unit) {
    List<String> words = new ArrayList<>();
    words.add(
        "After cost, in this order: "
            + least(figures.sticks(), "stick from the rack", "sticks from the rack"));
    if (figures.offcutValueBound().signum() > 0) {
      words.add(
          "offcuts worth "
              + PlanFigures.number(figures.offcutValue(), RoundingMode.HALF_UP)
              + known(
                  figures.offcutValueProven(),
                  PlanFigures.number(figures.offcutValueBound(), RoundingMode.CEILING)
                      + " at the most"));
    }
    if (figures.longestOffcutBound().isPositive()) {
      words.add(
          (figures.longestOffcut().isPositive()
                  ? "longest offcut " + unit.full(figures.longestOffcut())
                  : "no offcut")
              + known(
                  figures.longestOffcutProven(),
                  unit.full(figures.longestOffcutBound()) + " at the most"));
    }
    words.add(least(figures.patterns(), "pattern", "patterns"));
    words.add(open(figures));
    words.add(least(figures.stopMoves(), "stop move", "stop moves"));
    words.add(
        "together "
            + seconds(figures.stopTravelMillis())
            + known(figures.stopTravelProven(), "not proven")
            + ".");
    return words;
  }

  private static String open(Figures figures) {
    Figure open = figures.openParts();
    String text = counted(open.value(), "part", "parts") + " open at once";
    Integer limit = figures.openLimit();
    if (limit == null) {
      return text + known(open.proven(), open.bound() + " at the least");
    }
    if (open.value() <= limit) {
      return text + " (" + limit + " allowed)";
    }
    return text
        + (open.proven()
            ? " (" + limit + " allowed, these patterns cannot do with less)"
            : " (" + limit + " allowed, no order with less was found)");
  }

  private static String least(Figure figure, String one, String many) {
    return counted(figure.value(), one, many)
        + known(figure.proven(), figure.bound() + " at the least");
  }

  private static String known(boolean proven, String otherwise) {
    return proven ? " (proven)" : " (" + otherwise + ")";
  }

  private static String counted(int count, String one, String many) {
    return count + " " + (count == 1 ? one : many);
  }

  private static String seconds(long millis) {
    return BigDecimal.valueOf(millis).divide(MILLIS_A_SECOND, 1, RoundingMode.HALF_UP) + " s";
  }
}
