package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.Figure;
import org.kerftally.shared.plan.Figures;

class FigureWordsTest {

  private static String words(Figures figures) {
    return String.join(", ", FigureWords.of(figures, new UnitText(LengthUnit.MM)));
  }

  private static Figures figures(
      Figure sticks,
      String worth,
      String worthBound,
      int longestMm,
      int longestBoundMm,
      Figure patterns,
      Figure open,
      @Nullable Integer openLimit,
      Figure moves,
      boolean travelProven) {
    return new Figures(
        true,
        sticks,
        new BigDecimal(worth),
        new BigDecimal(worthBound),
        Length.ofMm(longestMm),
        Length.ofMm(longestBoundMm),
        patterns,
        open,
        openLimit,
        moves,
        41_250,
        travelProven,
        Length.ofMm(10_000),
        Length.ofMm(9_000),
        Length.ofMm(100),
        Length.ZERO,
        Length.ZERO,
        Length.ofMm(900));
  }

  @Test
  void saysProvenBehindEachFigureThatIs() {
    Figure one = new Figure(1, 1);
    assertThat(words(figures(one, "0.9", "0.9", 900, 900, one, one, null, new Figure(2, 2), true)))
        .isEqualTo(
            "After cost, in this order: 1 stick from the rack (proven), offcuts worth 0.9 (proven), longest"
                + " offcut 900 mm (proven), 1 pattern (proven), 1 part open at once (proven),"
                + " 2 stop moves (proven), together 41.3 s (proven).");
  }

  @Test
  void saysTheBoundWhereNothingIsProven() {
    assertThat(
            words(
                figures(
                    new Figure(5, 4),
                    "0.9",
                    "1.23456",
                    0,
                    950,
                    new Figure(3, 2),
                    new Figure(4, 3),
                    null,
                    new Figure(9, 7),
                    false)))
        .isEqualTo(
            "After cost, in this order: 5 sticks from the rack (4 at the least), offcuts worth 0.9 (1.235 at the"
                + " most), no offcut (950 mm at the most), 3 patterns (2 at the least), 4 parts"
                + " open at once (3 at the least), 9 stop moves (7 at the least), together 41.3 s"
                + " (not proven).");
  }

  @Test
  void leavesOutOffcutsWhereNoneCanBeKept() {
    Figure one = new Figure(1, 1);
    assertThat(words(figures(one, "0", "0", 0, 0, one, one, null, one, true)))
        .isEqualTo(
            "After cost, in this order: 1 stick from the rack (proven), 1 pattern (proven), 1 part open at once"
                + " (proven), 1 stop move (proven), together 41.3 s (proven).");
  }

  @Test
  void saysWhetherTheLimitOfOpenPartsIsHeld() {
    Figure one = new Figure(1, 1);
    assertThat(words(figures(one, "0", "0", 0, 0, one, new Figure(3, 2), 3, one, true)))
        .contains("3 parts open at once (3 allowed)");
    assertThat(words(figures(one, "0", "0", 0, 0, one, new Figure(4, 4), 3, one, true)))
        .contains("4 parts open at once (3 allowed, these patterns cannot do with less)");
    assertThat(words(figures(one, "0", "0", 0, 0, one, new Figure(4, 2), 3, one, true)))
        .contains("4 parts open at once (3 allowed, no order with less was found)");
  }
}
