package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.planning.SoundSegments.Zone;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

final class SoundSegmentsTest {

  private static final CutRules RULES = Requests.rules(3, 10, 0, true);

  private static StockItem stick(StickKind kind, String cost, String label) {
    BigDecimal number = cost == null ? null : new BigDecimal(cost);
    return new StockItem(Requests.MATERIAL, Length.ofMm(2400), 1, number, kind, label);
  }

  private static Zone zone(long from, long to) {
    return new Zone(Length.ofMm(from), Length.ofMm(to));
  }

  private static List<Long> lengthsMm(List<StockItem> items) {
    return items.stream().map(item -> item.length().nm() / 1_000_000).toList();
  }

  @Test
  void aRackedStickFallsIntoSegmentsThatAreSquaredEach() {
    List<StockItem> segments =
        SoundSegments.of(
            stick(StickKind.OFFCUT, "12", "P-11"),
            List.of(zone(1400, 1500), zone(600, 700)),
            RULES);

    assertThat(lengthsMm(segments)).containsExactly(600L, 700L, 900L);
    assertThat(segments).allMatch(item -> item.quantity() == 1);
    assertThat(segments).extracting(StockItem::label).doesNotHaveDuplicates();
    BigDecimal sum =
        segments.stream().map(StockItem::cost).reduce(BigDecimal.ZERO, BigDecimal::add);
    assertThat(sum).isBetween(new BigDecimal("12"), new BigDecimal("12.000003"));
  }

  @Test
  void inTheSawOnlyTheFirstEndIsSquaredAlready() {
    List<StockItem> segments =
        SoundSegments.of(stick(StickKind.IN_SAW, null, null), List.of(zone(600, 700)), RULES);

    assertThat(lengthsMm(segments)).containsExactly(600L, 1690L);
    assertThat(segments).allMatch(item -> item.kind() == StickKind.IN_SAW);
  }

  @Test
  void zonesMayOverlapTouchAndReachBeyondTheStick() {
    List<Zone> bad = List.of(zone(0, 50), zone(40, 90), zone(90, 100), zone(2300, 9000));

    assertThat(lengthsMm(SoundSegments.of(stick(StickKind.NEW, null, null), bad, RULES)))
        .containsExactly(2200L);
  }

  @Test
  void aStickWithoutABadZoneStaysAsItIs() {
    StockItem whole = stick(StickKind.OFFCUT, "3", "P-11");

    assertThat(SoundSegments.of(whole, List.of(zone(2400, 2500)), RULES)).containsExactly(whole);
  }

  @Test
  void segmentsThatHoldNothingAreLeftOut() {
    List<Zone> bad = List.of(zone(8, 500), zone(520, 2400));

    assertThat(lengthsMm(SoundSegments.of(stick(StickKind.NEW, null, null), bad, RULES)))
        .containsExactly(20L);
    assertThat(SoundSegments.of(stick(StickKind.NEW, null, null), List.of(zone(0, 2400)), RULES))
        .isEmpty();
  }

  @Test
  void aZoneThatEndsBeforeItBeginsIsRefused() {
    assertThatThrownBy(
            () -> SoundSegments.of(stick(StickKind.NEW, null, null), List.of(zone(5, 5)), RULES))
        .isInstanceOf(IllegalArgumentException.class);
  }

  /** No piece may lie across a bad zone: each segment is cut by itself. */
  @Test
  void thePlanCutsTheSegmentsInTheSawFirst() {
    List<StockItem> segments =
        SoundSegments.of(stick(StickKind.IN_SAW, null, null), List.of(zone(600, 700)), RULES);
    List<StockItem> stock = new java.util.ArrayList<>(segments);
    stock.add(stick(StickKind.NEW, "1", null));
    Part part = new Part("side", Length.ofMm(550), 4, Requests.MATERIAL, 1, null);

    CutPlan plan =
        new Planner().plan(new PlanRequest(List.of(part), stock, Map.of(), RULES), () -> false);

    assertThat(plan.shortages()).isEmpty();
    assertThat(plan.sticks().subList(0, 2))
        .extracting(PlannedSticks::kind, sticks -> sticks.cuts().size())
        .containsExactlyInAnyOrder(
            org.assertj.core.groups.Tuple.tuple(StickKind.IN_SAW, 1),
            org.assertj.core.groups.Tuple.tuple(StickKind.IN_SAW, 3));
    assertThat(plan.proven()).isTrue();
  }
}
