package org.kerftally.daemon.stock;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobUnqueued;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

final class StockLedgerTest {

  private static final String PINE = "pine-19x146";

  static StockLedger after(StockLedger ledger, Event... events) {
    StockLedger now = ledger;
    for (Event event : events) {
      now = now.apply(new Recorded(1, Instant.EPOCH, "saw1", event));
    }
    return now;
  }

  static StockItem item(
      int mm, @Nullable Integer quantity, StickKind kind, @Nullable String label) {
    return new StockItem(PINE, Length.ofMm(mm), quantity, null, kind, label);
  }

  static StockItem fresh(int mm, @Nullable Integer quantity) {
    return item(mm, quantity, StickKind.NEW, null);
  }

  static PlannedSticks sticks(int mm, StickKind kind, @Nullable String label, int repeat) {
    return new PlannedSticks(
        PINE,
        Length.ofMm(mm),
        kind,
        label,
        BigDecimal.ONE,
        repeat,
        Length.ZERO,
        List.of(),
        Length.ZERO,
        null);
  }

  static CutPlan plan(PlannedSticks... sticks) {
    return new CutPlan(List.of(sticks), List.of(), BigDecimal.ZERO, BigDecimal.ZERO, true);
  }

  static JobTaken taken(String job, PlannedSticks... sticks) {
    JobOrder order =
        new JobOrder(job, job, job + ".csv", "", null, LengthUnit.MM, 1, null, List.of());
    return new JobTaken(order, "saw1", plan(sticks));
  }

  static StickLoaded loaded(String job, PlannedSticks stick) {
    return new StickLoaded(job, 1, stick, stick.length(), 1);
  }

  static StickDone done(int restMm, String label) {
    Length rest = Length.ofMm(restMm);
    return new StickDone("supers", 1, rest, new Offcut(label, PINE, rest, "supers"));
  }

  static StockStated stated(StockItem... items) {
    return new StockStated("", List.of(items));
  }

  @Test
  void nothingIsThereBeforeTheOfficeStatesIt() {
    assertThat(StockLedger.EMPTY.available(null)).isEmpty();
  }

  @Test
  void aPlanReservesItsSticksForItsOwnJobAlone() {
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            stated(fresh(2440, 10)),
            taken("supers", sticks(2440, StickKind.NEW, null, 4)));
    assertThat(ledger.available(null)).containsExactly(fresh(2440, 6));
    assertThat(ledger.available("stands")).containsExactly(fresh(2440, 6));
    assertThat(ledger.available("supers")).containsExactly(fresh(2440, 10));
    assertThat(ledger.toHand()).containsExactly(fresh(2440, 10));
  }

  @Test
  void aLoadedStickLeavesTheRackAndTheReservation() {
    PlannedSticks planned = sticks(2440, StickKind.NEW, null, 4);
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            stated(fresh(2440, 10)),
            taken("supers", planned),
            loaded("supers", planned.single()));
    assertThat(ledger.toHand()).containsExactly(fresh(2440, 9));
    assertThat(ledger.available(null)).containsExactly(fresh(2440, 6));
    assertThat(ledger.reserved("supers")).containsExactly(planned.repeated(3));
  }

  @Test
  void theEndOfAJobReleasesWhatItDidNotLoad() {
    StockLedger begun =
        after(
            StockLedger.EMPTY,
            stated(fresh(2440, 10)),
            taken("supers", sticks(2440, StickKind.NEW, null, 4)));
    for (Event end :
        List.of(
            new JobEnded("supers", List.of()),
            new JobUnqueued("supers", ""),
            new JobWithdrawn("supers", ""))) {
      assertThat(after(begun, end).available(null)).containsExactly(fresh(2440, 10));
    }
  }

  @Test
  void aNewPlanTakesThePlaceOfTheOldOneAndTheStickInTheSawIsNoStock() {
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            stated(fresh(2440, 10)),
            taken("supers", sticks(2440, StickKind.NEW, null, 4)),
            new Replanned(
                "supers",
                "short stick",
                plan(
                    sticks(2440, StickKind.IN_SAW, null, 1),
                    sticks(2440, StickKind.NEW, null, 5))));
    assertThat(ledger.available(null)).containsExactly(fresh(2440, 5));
  }

  @Test
  void anOffcutIsToHandFromItsMakingToItsLoading() {
    StockLedger made = after(StockLedger.EMPTY, stated(), done(812, "saw1-1"));
    assertThat(made.available(null)).containsExactly(item(812, 1, StickKind.OFFCUT, "saw1-1"));
    assertThat(made.offcuts()).extracting(Offcut::label).containsExactly("saw1-1");
    StockLedger used = after(made, loaded("x", sticks(812, StickKind.OFFCUT, "saw1-1", 1)));
    assertThat(used.available(null)).isEmpty();
    assertThat(used.offcuts()).isEmpty();
  }

  @Test
  void aNewStatementResetsTheOfficesLinesAndKeepsOurOffcuts() {
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            stated(fresh(2440, 10), item(700, 1, StickKind.OFFCUT, "old")),
            done(812, "saw1-1"),
            loaded("supers", sticks(2440, StickKind.NEW, null, 1)),
            stated(fresh(2440, 3)));
    assertThat(ledger.toHand())
        .containsExactly(fresh(2440, 3), item(812, 1, StickKind.OFFCUT, "saw1-1"));
  }

  @Test
  void anOffcutThatTheOfficeListsIsCountedOnceAndByTheOffice() {
    StockLedger listed =
        after(
            StockLedger.EMPTY,
            done(812, "saw1-1"),
            stated(item(810, 1, StickKind.OFFCUT, "saw1-1")));
    assertThat(listed.toHand()).containsExactly(item(810, 1, StickKind.OFFCUT, "saw1-1"));
    assertThat(listed.offcuts()).isEmpty();
    assertThat(after(listed, stated()).toHand()).isEmpty();
    assertThat(after(listed, loaded("x", sticks(810, StickKind.OFFCUT, "saw1-1", 1))).toHand())
        .isEmpty();
  }

  @Test
  void theOfficeStrikesAnOffcutByListingNoneOfIt() {
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            done(812, "saw1-1"),
            stated(item(812, 0, StickKind.OFFCUT, "saw1-1")));
    assertThat(ledger.toHand()).isEmpty();
  }

  @Test
  void unlimitedStockStaysUnlimited() {
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            stated(fresh(6000, null)),
            taken("frames", sticks(6000, StickKind.NEW, null, 1000)),
            loaded("frames", sticks(6000, StickKind.NEW, null, 1)));
    assertThat(ledger.available(null)).containsExactly(fresh(6000, null));
  }

  @Test
  void aStickComesFromTheLineOfItsOwnCostFirst() {
    StockItem dear = new StockItem(PINE, Length.ofMm(2440), 2, BigDecimal.TEN, StickKind.NEW, null);
    StockItem cheap =
        new StockItem(PINE, Length.ofMm(2440), 2, new BigDecimal("1.00"), StickKind.NEW, null);
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            stated(dear, cheap, fresh(2440, null)),
            loaded("supers", sticks(2440, StickKind.NEW, null, 1)));
    assertThat(ledger.toHand()).extracting(StockItem::quantity).containsExactly(2, 1, null);
    StockLedger more =
        after(
            ledger,
            loaded("supers", sticks(2440, StickKind.NEW, null, 1)),
            loaded("supers", sticks(2440, StickKind.NEW, null, 1)));
    assertThat(more.toHand()).extracting(StockItem::quantity).containsExactly(1, null);
  }

  @Test
  void moreReservedThanStatedLeavesNothingFreeAndNothingNegative() {
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            stated(fresh(2440, 10)),
            taken("supers", sticks(2440, StickKind.NEW, null, 8)),
            stated(fresh(2440, 3)));
    assertThat(ledger.available(null)).isEmpty();
    assertThat(ledger.available("supers")).containsExactly(fresh(2440, 3));
  }

  @Test
  void aStickThatTheRackDoesNotHoldChangesNothingOnIt() {
    StockLedger ledger =
        after(
            StockLedger.EMPTY,
            stated(fresh(2440, 1)),
            loaded("supers", sticks(2450, StickKind.NEW, null, 1)),
            loaded("supers", sticks(2440, StickKind.OFFCUT, "x", 1)),
            loaded("supers", sticks(2440, StickKind.IN_SAW, null, 1)));
    assertThat(ledger.toHand()).containsExactly(fresh(2440, 1));
  }
}
