package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;

final class ReplanTest {

  private static Requests job(SplittableRandom random, int lengths) {
    Requests requests = new Requests().rules(Requests.rules(3, 10, 0, true));
    List<Integer> used = new ArrayList<>();
    while (used.size() < lengths) {
      int length = random.nextInt(150, 1_500);
      if (!used.contains(length)) {
        used.add(length);
        requests.part("p" + used.size(), length, random.nextInt(1, 21));
      }
    }
    return requests;
  }

  private static CutPlan plan(PlanRequest request) {
    return new Planner().plan(request, () -> false);
  }

  /** Nobody waits at all: what comes out is the repaired plan itself. */
  private static CutPlan atOnce(PlanRequest request, List<PlannedSticks> former) {
    return new Planner().replan(request, former, () -> true);
  }

  @Test
  void aPlanThatStillHoldsIsFoundAgainWithoutAnySearch() {
    for (int seed = 0; seed < 20; seed++) {
      PlanRequest request = job(new SplittableRandom(seed), 12).sticks(3000, null, null).request();
      CutPlan former = plan(request);

      assertThat(atOnce(request, former.sticks()).cost()).isEqualByComparingTo(former.cost());
    }
  }

  @Test
  void onePieceMoreGoesWhereAKeptStickHasRoom() {
    PlanRequest before = new Requests().part("side", 900, 4).sticks(3000, null, null).request();
    PlanRequest after = new Requests().part("side", 900, 5).sticks(3000, null, null).request();

    CutPlan again = atOnce(after, plan(before).sticks());

    assertThat(again.stickCount()).isEqualTo(2);
    assertThat(again.shortages()).isEmpty();
  }

  @Test
  void aFormerPlanOfOtherPartsAndSticksDoesNoHarm() {
    PlanRequest before = new Requests().part("end", 413, 9).sticks(2400, null, null).request();
    PlanRequest after = new Requests().part("side", 900, 5).sticks(3000, null, null).request();

    CutPlan again = atOnce(after, plan(before).sticks());

    assertThat(again.cost()).isEqualByComparingTo(plan(after).cost());
  }

  @Test
  void sticksThatAreGoneAreNotUsedAgain() {
    PlanRequest before = new Requests().part("side", 900, 9).sticks(3000, 3, "3").request();
    PlanRequest after =
        new Requests().part("side", 900, 9).sticks(3000, 1, "3").sticks(1000, 9, "2").request();

    CutPlan again = atOnce(after, plan(before).sticks());

    assertThat(again.shortages()).isEmpty();
    assertThat(again.cost()).isEqualByComparingTo("15");
  }

  @Test
  void searchIsNeverDearerThanTheRepairedPlan() {
    for (int seed = 0; seed < 10; seed++) {
      PlanRequest all =
          job(new SplittableRandom(seed), 20)
              .sticks(2400, null, "25")
              .sticks(3600, 6, "34")
              .request();
      List<PlannedSticks> former = plan(all).sticks();

      CutPlan quick = atOnce(all, former);
      CutPlan searched = new Planner().replan(all, former, () -> false);

      assertThat(searched.cost()).isLessThanOrEqualTo(quick.cost());
    }
  }
}
