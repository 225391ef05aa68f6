package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/** Holds the planner against examples whose optimum is published. */
class TextbookExamplesTest {

  private static final long NM_PER_INCH = 25_400_000;

  /** V. Chvátal, Linear Programming (Freeman, 1983), chapter 13: 453 raws of 100 inches. */
  @Test
  void cutsTheFinalsOfChvatalFrom453Raws() {
    int[][] finals = {{45, 97}, {36, 610}, {31, 395}, {14, 211}};
    Requests requests = new Requests();
    for (int[] wanted : finals) {
      Length length = Length.ofNm(wanted[0] * NM_PER_INCH);
      String name = wanted[0] + " in";
      requests.part(new Part(name, length, wanted[1], "paper", 1, null));
    }
    Length raw = Length.ofNm(100 * NM_PER_INCH);
    requests.sticks(new StockItem("paper", raw, null, null, StickKind.NEW, null));

    CutPlan plan = new Planner().plan(requests.request(), () -> false);

    assertThat(plan.cost()).isEqualTo(new BigDecimal("453"));
    assertThat(plan.bound()).isEqualTo(new BigDecimal("453"));
    assertThat(plan.proven()).isTrue();
    assertThat(plan.stickCount()).isEqualTo(453);
  }

  /**
   * The well-known example of a paper machine with reels of 5600 mm and 13 widths; its optimum of
   * 73 reels was confirmed by enumerating all patterns.
   */
  @Test
  void cutsThirteenWidthsFrom73Reels() {
    int[][] widths = {
      {1380, 22},
      {1520, 25},
      {1560, 12},
      {1710, 14},
      {1820, 18},
      {1880, 18},
      {1930, 20},
      {2000, 10},
      {2050, 12},
      {2100, 14},
      {2140, 16},
      {2150, 18},
      {2200, 20}
    };
    Requests requests = new Requests().sticks(5600, null, "1");
    for (int[] width : widths) {
      requests.part("w" + width[0], width[0], width[1]);
    }

    CutPlan plan = new Planner().plan(requests.request(), () -> false);

    assertThat(plan.cost()).isEqualTo(new BigDecimal("73"));
    assertThat(plan.proven()).isTrue();
    assertThat(plan.stickCount()).isEqualTo(73);
  }
}
