package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.LengthAdvice;
import org.kerftally.shared.stock.StickKind;

final class BetterStockTest {

  private static final Length STEP = Length.ofMm(5);

  private static CutPlan plan(PlanRequest request) {
    return new Planner().plan(request, () -> false);
  }

  private static List<LengthAdvice> advise(PlanRequest request) {
    return BetterStock.advise(request, plan(request), STEP, () -> false);
  }

  @Test
  void findsTheLengthThatJustHoldsWhatAStickIsCutInto() {
    PlanRequest request =
        new Requests()
            .rules(Requests.rules(3, 10, 0, true))
            .part("side", 900, 40)
            .sticks(3000, null, null)
            .request();

    List<LengthAdvice> advice = advise(request);

    // Three parts, two kerfs and the trim take 2716 mm: 14 sticks of 3000 mm keep one long offcut.
    assertThat(advice).hasSize(1);
    LengthAdvice best = advice.get(0);
    assertThat(best.sticks()).isEqualTo(14);
    assertThat(best.saved()).isGreaterThan(Length.ofMm(2_000));
    PlanRequest instead =
        new Requests()
            .rules(Requests.rules(3, 10, 0, true))
            .part("side", 900, 40)
            .sticks(best.instead().nm() / 1_000_000, null, null)
            .request();
    CutPlan proof = plan(instead);
    assertThat(proof.shortages()).isEmpty();
    assertThat(proof.stickCount()).isEqualTo(best.sticksInstead());
    assertThat(best.instead().nm() % STEP.nm()).isZero();
  }

  @Test
  void advisesNothingWhereNoPercentIsToBeSaved() {
    PlanRequest request = new Requests().part("side", 1000, 30).sticks(3000, null, null).request();

    assertThat(advise(request)).isEmpty();
  }

  @Test
  void offcutsThatAreUsedUpAreNotCounted() {
    PlanRequest request =
        new Requests()
            .part("side", 900, 2)
            .sticks(1000, 2, null, StickKind.OFFCUT, "P-1")
            .sticks(3000, null, "9")
            .request();

    assertThat(advise(request)).isEmpty();
  }

  @Test
  void comesToAnEndWhenToldTo() {
    PlanRequest request = new Requests().part("side", 900, 40).sticks(3000, null, null).request();

    assertThat(BetterStock.advise(request, plan(request), STEP, () -> true)).isEmpty();
  }
}
