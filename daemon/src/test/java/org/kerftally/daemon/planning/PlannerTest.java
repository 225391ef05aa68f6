package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.planning.sequence.StopRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

class PlannerTest {

  private static CutPlan plan(Requests requests) {
    return plan(requests.request());
  }

  private static CutPlan plan(PlanRequest request) {
    return new Planner().plan(request, () -> false);
  }

  @Test
  void countsSticksWhereNoCostIsGivenAndOneLengthExists() {
    CutPlan plan = plan(new Requests().part("side", 500, 5).sticks(1000, null, null));

    assertThat(plan.cost()).isEqualTo(new BigDecimal("3"));
    assertThat(plan.bound()).isEqualTo(new BigDecimal("3"));
    assertThat(plan.proven()).isTrue();
  }

  @Test
  void costsMillimetresWhereNoCostIsGivenAndLengthsDiffer() {
    CutPlan plan =
        plan(new Requests().part("side", 500, 3).sticks(1000, null, null).sticks(1500, null, null));

    assertThat(plan.cost()).isEqualTo(new BigDecimal("1500"));
    assertThat(plan.stickCount()).isEqualTo(1);
  }

  @Test
  void costsABlankOffcutAtTheLowestRateOfNewSticks() {
    CutPlan plan =
        plan(
            new Requests()
                .part("side", 500, 1)
                .sticks(2000, null, "30")
                .sticks(3000, null, "40")
                .sticks(505, 1, null, StickKind.OFFCUT, "R0001"));

    assertThat(plan.cost()).isEqualTo(new BigDecimal("6.733333"));
    assertThat(plan.sticks().get(0).label()).isEqualTo("R0001");
  }

  @Test
  void addsDecimalCostsExactly() {
    CutPlan plan = plan(new Requests().part("side", 600, 3).sticks(1000, null, "0.10"));

    assertThat(plan.cost()).isEqualTo(new BigDecimal("0.3"));
  }

  @Test
  void takesTheStickInTheSawFirstAndWithoutLeadTrim() {
    CutPlan plan =
        plan(
            new Requests()
                .rules(Requests.rules(3, 10, 0, true))
                .part("side", 500, 5)
                .sticks(1100, null, "7")
                .sticks(503, 1, "0", StickKind.IN_SAW, null));

    PlannedSticks first = plan.sticks().get(0);
    assertThat(first.kind()).isEqualTo(StickKind.IN_SAW);
    assertThat(first.leadTrim()).isEqualTo(Length.ZERO);
    assertThat(first.cuts()).containsExactly(new Cut("side", Length.ofMm(500)));
    assertThat(first.rest()).isEqualTo(Length.ZERO);
    assertThat(plan.cost()).isEqualTo(new BigDecimal("14"));
  }

  @Test
  void endsFlushWhereTheLastPieceMeetsTheStickExactly() {
    Requests exact =
        new Requests()
            .rules(Requests.rules(3, 0, 0, false))
            .part("side", 500, 2)
            .sticks(1003, null, null);
    Requests sliver =
        new Requests()
            .rules(Requests.rules(3, 0, 0, false))
            .part("side", 500, 2)
            .sticks(1004, null, null);

    assertThat(plan(exact).stickCount()).isEqualTo(1);
    assertThat(plan(exact).sticks().get(0).rest()).isEqualTo(Length.ZERO);
    assertThat(plan(sliver).stickCount()).isEqualTo(2);
    assertThat(plan(sliver.rules(Requests.rules(3, 0, 0, true))).stickCount()).isEqualTo(1);
  }

  @Test
  void leavesTheTailAllowanceInEveryStick() {
    Requests requests = new Requests().part("side", 500, 2).sticks(1056, null, null);

    assertThat(plan(requests.rules(Requests.rules(3, 0, 50, true))).stickCount()).isEqualTo(1);
    assertThat(plan(requests.rules(Requests.rules(3, 0, 51, true))).stickCount()).isEqualTo(2);
  }

  @Test
  void keepsOnlyRestsWorthKeepingAsOffcuts() {
    CutPlan kept = plan(new Requests().part("side", 600, 1).sticks(1000, null, null));
    CutPlan wasted = plan(new Requests().part("side", 800, 1).sticks(1000, null, null));

    assertThat(kept.sticks().get(0).offcut()).isEqualTo(Length.ofMm(400));
    assertThat(wasted.sticks().get(0).rest()).isEqualTo(Length.ofMm(200));
    assertThat(wasted.sticks().get(0).offcut()).isNull();
  }

  @Test
  void letsAShortageFallOnTheHighestPriorityNumber() {
    CutPlan plan =
        plan(
            new Requests()
                .part("later", 300, 3, 2)
                .part("first", 900, 2, 1)
                .sticks(1000, 2, null)
                .sticks(650, 1, null));

    assertThat(plan.shortages())
        .containsExactly(new Shortage("later", Requests.MATERIAL, Length.ofMm(300), 1));
    assertThat(plan.proven()).isTrue();
  }

  @Test
  void letsAShortageOfOnePriorityFallOnTheLatestDueAndOnWhatHasNoDayFirst() {
    LocalDate soon = LocalDate.of(2027, 3, 1);
    Part open = new Part("open", Length.ofMm(300), 1, Requests.MATERIAL, 1, null);
    Part late = new Part("late", Length.ofMm(310), 1, Requests.MATERIAL, 1, null);
    Part early = new Part("early", Length.ofMm(900), 1, Requests.MATERIAL, 1, null);
    Requests requests =
        new Requests()
            .part(open)
            .part(late.withDue(soon.plusDays(1)))
            .part(early.withDue(soon))
            .sticks(1000, 1, null)
            .sticks(350, 1, null);

    CutPlan plan = plan(requests);

    assertThat(plan.shortages()).extracting(Shortage::part).containsExactly("open");
    assertThat(plan.proven()).isTrue();
    assertThat(plan.figures()).isNotNull();
    assertThat(plan.figures().mostMade()).isTrue();
  }

  @Test
  void saysWhetherTheLimitOfOpenPartsIsHeld() {
    Requests requests =
        new Requests().part("a", 600, 2).part("b", 400, 2).part("c", 700, 2).part("d", 300, 2);
    PlanRequest plain = requests.sticks(1000, null, null).request();
    StopRules limited = new StopRules(Layout.OUTFEED_STOP, Length.ZERO, StopMotion.LIGHT, 2);

    CutPlan plan =
        plan(
            new PlanRequest(
                plain.parts(),
                plain.stock(),
                plain.rulesByMaterial(),
                plain.defaultRules(),
                limited));

    assertThat(plan.figures()).isNotNull();
    assertThat(plan.figures().openParts().value()).isEqualTo(2);
    assertThat(plan.figures().openLimit()).isEqualTo(2);
    assertThat(plan.figures().patterns().proven()).isTrue();
  }

  @Test
  void makesAsManyPartsAsCanBeMadeOfOnePriority() {
    CutPlan plan =
        plan(new Requests().part("long", 900, 1).part("short", 300, 3).sticks(1000, 1, null));

    assertThat(plan.shortages()).extracting(Shortage::part).containsExactly("long");
  }

  @Test
  void reportsPartsThatFitNoStickOrHaveNoMaterial() {
    Requests requests =
        new Requests()
            .part("mast", 1001, 2)
            .part("side", 500, 2)
            .part(new Part("glazing bar", Length.ofMm(100), 4, "aluminium", 1, null))
            .sticks(1000, null, null);

    CutPlan plan = plan(requests);

    assertThat(plan.shortages())
        .containsExactlyInAnyOrder(
            new Shortage("mast", Requests.MATERIAL, Length.ofMm(1001), 2),
            new Shortage("glazing bar", "aluminium", Length.ofMm(100), 4));
    assertThat(plan.cost()).isEqualTo(BigDecimal.ONE);
    assertThat(plan.proven()).isTrue();
  }

  @Test
  void plansNothingFromNothing() {
    CutPlan noParts = plan(new Requests().sticks(1000, null, null));
    CutPlan noStock = plan(new Requests().part("side", 500, 2));

    assertThat(noParts.sticks()).isEmpty();
    assertThat(noParts.cost()).isEqualTo(BigDecimal.ZERO);
    assertThat(noParts.proven()).isTrue();
    assertThat(noStock.sticks()).isEmpty();
    assertThat(noStock.shortages()).hasSize(1);
  }

  @Test
  void givesAPartWithoutMaterialTheStocksOnlyOne() {
    CutPlan plan =
        plan(
            new Requests()
                .part(new Part("side", Length.ofMm(500), 2, "", 1, null))
                .sticks(1000, null, null));

    assertThat(plan.shortages()).isEmpty();
    assertThat(plan.sticks().get(0).material()).isEqualTo(Requests.MATERIAL);
  }

  @Test
  void plansEveryMaterialByItsOwnRules() {
    List<Part> parts =
        List.of(
            new Part("side", Length.ofMm(500), 2, "pine", 1, null),
            new Part("bar", Length.ofMm(500), 2, "aluminium", 1, null));
    List<StockItem> stock =
        List.of(
            new StockItem("pine", Length.ofMm(1000), null, null, StickKind.NEW, null),
            new StockItem("aluminium", Length.ofMm(1000), null, null, StickKind.NEW, null));
    PlanRequest request =
        new PlanRequest(
            parts,
            stock,
            Map.of("pine", Requests.rules(3, 10, 0, true)),
            Requests.rules(0, 0, 0, true));

    CutPlan plan = plan(request);

    assertThat(plan.cost()).isEqualTo(new BigDecimal("3"));
    assertThat(plan.sticks())
        .extracting(PlannedSticks::material)
        .containsExactly("pine", "aluminium");
  }

  @Test
  void handsNamesOfEqualLengthsBackByPriorityThenInTheJobsOrder() {
    CutPlan plan =
        plan(
            new Requests()
                .part("spare", 500, 2, 2)
                .part("left", 500, 3, 1)
                .part("right", 500, 2, 1)
                .sticks(1000, 3, null));

    assertThat(plan.shortages()).extracting(Shortage::part).containsExactly("spare");
    Map<String, Integer> made = new HashMap<>();
    for (PlannedSticks sticks : plan.sticks()) {
      sticks.cuts().forEach(cut -> made.merge(cut.part(), sticks.repeat(), Integer::sum));
    }
    assertThat(made).isEqualTo(Map.of("left", 3, "right", 2, "spare", 1));
  }

  @Test
  void usesLabelledOffcutsEachOnce() {
    CutPlan plan =
        plan(
            new Requests()
                .part("side", 500, 3)
                .sticks(2000, null, "20")
                .sticks(600, 1, "1", StickKind.OFFCUT, "R0001")
                .sticks(600, 1, "1", StickKind.OFFCUT, "R0002")
                .sticks(600, 1, "1", StickKind.OFFCUT, "R0003"));

    assertThat(plan.sticks())
        .extracting(PlannedSticks::label)
        .containsExactly("R0001", "R0002", "R0003");
    assertThat(plan.cost()).isEqualTo(new BigDecimal("3"));
  }

  @Test
  void plansTheSameTwice() {
    PlanRequest request = large(new SplittableRandom(5), 40, 400);

    assertThat(plan(request)).isEqualTo(plan(request));
  }

  @Test
  void plansThousandsOfPiecesToTheBound() {
    CutPlan plan = plan(large(new SplittableRandom(11), 30, 9_000));

    assertThat(plan.proven()).as(plan.cost() + " against " + plan.bound()).isTrue();
  }

  @Test
  void stillReturnsACheckedPlanWhenStoppedAtOnce() {
    CutPlan plan = new Planner().plan(large(new SplittableRandom(3), 200, 5_000), () -> true);

    assertThat(plan.shortages()).isEmpty();
    assertThat(plan.bound()).isPositive();
  }

  private static PlanRequest large(SplittableRandom random, int lengths, int pieces) {
    Requests requests = new Requests().rules(Requests.rules(3, 10, 0, true));
    List<Integer> used = new ArrayList<>();
    while (used.size() < lengths) {
      int length = random.nextInt(150, 2200);
      if (!used.contains(length)) {
        used.add(length);
        requests.part("p" + length, length, pieces / lengths);
      }
    }
    return requests.sticks(6000, null, null).request();
  }

  @Test
  void refusesCostsThatAreNoCosts() {
    PlanRequest negative = new Requests().part("side", 5, 1).sticks(10, null, "-1").request();
    PlanRequest tooFine = new Requests().part("side", 5, 1).sticks(10, null, "0.0000001").request();

    assertThatThrownBy(() -> plan(negative))
        .isInstanceOf(UnplannableException.class)
        .hasMessageContaining("-1");
    assertThatThrownBy(() -> plan(tooFine))
        .isInstanceOf(UnplannableException.class)
        .hasMessageContaining("0.0000001");
  }
}
