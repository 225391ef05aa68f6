package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.results.Jobs.RULES;
import static org.kerftally.daemon.results.Jobs.cut;
import static org.kerftally.daemon.results.Jobs.cuts;
import static org.kerftally.daemon.results.Jobs.sticks;

import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.CutOrder;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.LengthAdvice;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.problem.Problem;

class PlanTableTest {

  private static String write(CutPlan plan, int width, boolean boxes) {
    return PlanTable.write(
        PlanReport.of("Supers", "supers.csv", plan, RULES, 34L),
        List.of(),
        LengthUnit.MM,
        width,
        boxes);
  }

  @Test
  void drawsAPlanInPlainCharacters() {
    CutPlan plan = Jobs.plan(sticks(3, 2440, cut("side", 505), cut("side", 505), cut("end", 413)));
    assertThat(write(plan, 63, false))
        .isEqualTo(
            """
            Supers (supers.csv): planned in 34 ms
            3 sticks (7.32 m), 9 pieces, yield 58.3 %, waste 0.8 %, 3 offcuts kept (2.99 m)
            Of the waste 0.03 m are kerf, 0.03 m trim, 0.00 m remainders too short to keep.
            Cost 3, proven: no plan that makes as much costs less.

            pine-19x146: 3 x 2440 mm
                  sticks  length  cuts                rest
               A     3 x    2440  2 x 505, 413  997.4 keep

            A  3 x pine-19x146, 2440 mm
               +------------+-----------+---------+-----------------------+
               |    505     |    505    |   413   |.........997.4.........|
               +------------+-----------+---------+-----------------------+
               1-2 side 505 mm x2, 3 end 413 mm, keep 997.4 mm

            . offcut to keep   # trim and waste
            """);
  }

  @Test
  void saysThatEverySecondStickIsCutTheOtherWayRound() {
    PlannedSticks same = sticks(3, 2440, cut("side", 505), cut("end", 413));
    PlannedSticks turning = same.ordered(same.cuts(), CutOrder.TURNING);

    assertThat(write(Jobs.plan(same), 80, false)).doesNotContain("every second");
    assertThat(write(Jobs.plan(turning), 80, false)).contains("every second one last part first");
  }

  @Test
  void everyRowOfABarIsAsWideAsAsked() {
    for (int columns = 37; columns < 120; columns++) {
      TextBar bar = new TextBar(columns, true, new UnitText(LengthUnit.MM));
      for (PlannedSticks sticks : Samples.hivePlan().sticks()) {
        int wide = columns;
        assertThat(bar.draw(StickDrawing.of(sticks, Jobs.KERF)))
            .hasSize(3)
            .allSatisfy(row -> assertThat(row).hasSize(wide))
            .allSatisfy(row -> assertThat(row.substring(1, wide - 1)).doesNotContain("┌", "┐"));
      }
    }
  }

  @Test
  void manySmallPiecesAreDrawnAsOneBlock() {
    assertThat(write(Jobs.plan(sticks(1, 2440, cuts(60, cut("wedge", 22)))), 80, true))
        .contains(" 60 × 22 ")
        .contains("1–60 wedge 22 mm ×60, keep 918 mm");
  }

  @Test
  void saysInWordsWhatIsNotProvenAndWhatIsShort() {
    CutPlan plan =
        new CutPlan(
            List.of(sticks(3, 2440, cut("side", 505))),
            List.of(new Shortage("end", "pine", Length.ofMm(413), 2)),
            new BigDecimal("3"),
            new BigDecimal("2.9996"),
            false);
    assertThat(write(plan, 80, true))
        .startsWith("Supers (supers.csv): short in 34 ms\n")
        .contains("Cost 3. No plan that makes as much costs less than 2.999, so 0.1 % at the most")
        .contains("Short: 2 × end 413 mm, pine cannot be made from the stock there is.\n");
  }

  @Test
  void aRefusedFileShowsItsProblemsAndNoPlan() {
    Problem problem = new Problem("a.csv", 7, "length", "found \"x\"", "Mend it.");
    assertThat(
            PlanTable.write(
                PlanReport.refused("a", "a.csv", RULES, List.of(problem)),
                List.of(),
                LengthUnit.MM,
                80,
                true))
        .isEqualTo("a (a.csv): refused\n  a.csv, line 7, length: found \"x\". Mend it.\n");
  }

  @Test
  void namesCannotSteerTheTerminal() {
    CutPlan plan = Jobs.plan(sticks(1, 2440, cut("a\u001b[2Jb\u202ec\n", 505)));
    assertThat(write(plan, 80, true)).contains("a?[2Jb?c? 505 mm").doesNotContain("\u001b");
  }

  @Test
  void inchesAreFractionsAndAsciiIsAscii() {
    String table =
        PlanTable.write(
            PlanReport.of("g", "g.csv", Samples.greenhouse().plan(), Samples.INCH_RULES, null),
            List.of(),
            LengthUnit.IN,
            80,
            false);
    assertThat(table)
        .contains("| ", "   47-61/64   ", "3-4 glazing bar 47-61/64 in x2, keep 26-15/32 in")
        .matches("\\p{ASCII}*");
  }

  @Test
  void aTableKeepsToItsWidthAndGoesOnBelowItself() {
    CutPlan plan =
        Jobs.plan(
            sticks(
                1,
                6000,
                cut("a", 905),
                cut("b", 804),
                cut("c", 703),
                cut("d", 602),
                cut("e", 501),
                cut("f", 400)));

    String table = write(plan, 50, true);

    assertThat(table)
        .contains("cuts                    rest\n")
        .contains("\n                      602, 501, 400\n");
    assertThat(table.lines().filter(line -> line.contains("905, 804")))
        .singleElement()
        .asString()
        .hasSizeLessThanOrEqualTo(50);
  }

  @Test
  void wideNamesAreCut() {
    CutPlan plan = Jobs.plan(sticks(1, 2440, cut("side ".repeat(20), 505)));

    assertThat(write(plan, 80, true)).contains("1 side side").contains("…");
    assertThat(write(plan, 80, false)).contains("~").matches("\\p{ASCII}*");
  }

  @Test
  void namesInOtherScriptsAreQuestionMarksWhereThereIsOnlyAscii() {
    CutPlan plan = Jobs.plan(sticks(1, 2440, cut("стенка", 505)));

    assertThat(write(plan, 80, true)).contains("стенка 505 mm");
    assertThat(write(plan, 80, false)).contains("?????? 505 mm").matches("\\p{ASCII}*");
  }

  @Test
  void aLengthThatWouldSaveMaterialIsAdvisedBesideItsMaterial() {
    LengthAdvice advice =
        new LengthAdvice(
            "pine-19x146", 41, Length.ofMm(120_000), Length.ofMm(2755), 41, Length.ofMm(10_000));
    CutPlan plan = Jobs.plan(sticks(3, 2440, cut("side", 505)));

    String table =
        PlanTable.write(
            PlanReport.of("Supers", "supers.csv", plan, RULES, 34L),
            List.of(advice),
            LengthUnit.MM,
            200,
            true);

    assertThat(table)
        .contains(
            "Sticks of 2755 mm would need 10.00 m less (8.3 %): 41 of them for the 41 new sticks"
                + " above, whatever either costs.\n");
  }

  @Test
  void theDefaultLocaleChangesNothing() {
    Locale before = Locale.getDefault();
    String expected = write(Samples.hivePlan(), 100, true);
    try {
      for (String tag : List.of("tr-TR", "de-DE", "ar-EG")) {
        Locale.setDefault(Locale.forLanguageTag(tag));
        assertThat(write(Samples.hivePlan(), 100, true)).isEqualTo(expected);
      }
    } finally {
      Locale.setDefault(before);
    }
  }

  @Test
  void moreThanAFewHundredPatternsAreCountedNotDrawn() {
    PlannedSticks[] many = new PlannedSticks[PlanTable.MAX_PATTERNS + 5];
    for (int i = 0; i < many.length; i++) {
      many[i] = sticks(1, 2440, cut("part " + i, 505));
    }
    assertThat(write(Jobs.plan(many), 80, true)).contains("and 5 more patterns\n");
  }
}
