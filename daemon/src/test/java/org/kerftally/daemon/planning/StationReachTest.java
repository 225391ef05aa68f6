package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

class StationReachTest {

  private static Travel travel(long minMm, long maxMm) {
    return new Travel(Length.ofMm(minMm), Length.ofMm(maxMm));
  }

  private static PlanRequest request(CutRules rules) {
    return new Requests()
        .rules(rules)
        .part("peg", 19, 2)
        .part("rail", 20, 2)
        .part("beam", 4000, 2)
        .part("mast", 4001, 2)
        .sticks(4010, null, null)
        .sticks(4011, null, null)
        .sticks(4000, 1, "0", StickKind.IN_SAW, null)
        .sticks(4001, 1, "0", StickKind.IN_SAW, "later")
        .request();
  }

  @Test
  void takesOutPartsThatAnOutfeedStopCannotMeasure() {
    PlanRequest whole = request(Requests.rules(3, 10, 0, true));

    StationReach.Narrowed narrowed =
        StationReach.narrow(whole, Layout.OUTFEED_STOP, travel(20, 4000));

    assertThat(narrowed.unreachableParts()).extracting(Part::name).containsExactly("peg", "mast");
    assertThat(narrowed.request().parts()).extracting(Part::name).containsExactly("rail", "beam");
    assertThat(narrowed.unusableSticks()).isEmpty();
    assertThat(narrowed.request().stock()).isEqualTo(whole.stock());
    assertThat(narrowed.request().defaultRules()).isEqualTo(whole.defaultRules());
  }

  @Test
  void takesOutSticksThatAnInfeedPusherCannotStandBehind() {
    PlanRequest whole = request(Requests.rules(3, 10, 0, true));

    StationReach.Narrowed narrowed =
        StationReach.narrow(whole, Layout.INFEED_PUSHER, travel(20, 4000));

    assertThat(narrowed.unreachableParts()).isEmpty();
    assertThat(narrowed.unusableSticks())
        .extracting(StockItem::length)
        .containsExactly(Length.ofMm(4011), Length.ofMm(4001));
  }

  @Test
  void takesTheTravelsLowerEndAsTailAllowance() {
    CutRules own = Requests.rules(3, 10, 50, true);
    PlanRequest one = request(Requests.rules(3, 10, 5, true));
    PlanRequest whole =
        new PlanRequest(one.parts(), one.stock(), Map.of("ash", own), one.defaultRules());

    PlanRequest narrowed =
        StationReach.narrow(whole, Layout.INFEED_PUSHER, travel(20, 4000)).request();

    assertThat(narrowed.defaultRules().tail()).isEqualTo(Length.ofMm(20));
    assertThat(narrowed.rules("ash").tail()).isEqualTo(Length.ofMm(50));
  }

  @Test
  void allowsSliverCutsOnlyWhereThePusherGoesAKerfBeyondTheBlade() {
    PlanRequest whole = request(Requests.rules(3, 10, 0, true));

    for (long minMm : List.of(0L, -2L)) {
      CutRules rules =
          StationReach.narrow(whole, Layout.INFEED_PUSHER, travel(minMm, 4000))
              .request()
              .defaultRules();
      assertThat(rules.sliverCuts()).as("from %d mm", minMm).isFalse();
      assertThat(rules.tail()).isEqualTo(Length.ZERO);
    }
    PlanRequest beyond =
        StationReach.narrow(whole, Layout.INFEED_PUSHER, travel(-3, 4000)).request();
    assertThat(beyond.defaultRules().sliverCuts()).isTrue();
  }
}
