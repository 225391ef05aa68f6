package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.service.Samples.NOON;
import static org.kerftally.daemon.service.Samples.PINE;
import static org.kerftally.daemon.service.Samples.order;
import static org.kerftally.daemon.service.Samples.recorded;
import static org.kerftally.daemon.service.Samples.stated;
import static org.kerftally.daemon.service.Samples.sticks;

import java.time.Clock;
import java.time.Duration;
import java.time.ZoneOffset;
import java.util.concurrent.CompletableFuture;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.station.StationEffect.AskPlan;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

final class PlanDeskTest {

  private static final Duration PATIENCE = Duration.ofMinutes(1);

  private final StockDesk stock = new StockDesk(Clock.fixed(NOON, ZoneOffset.UTC));
  private final PlanDesk desk = new PlanDesk(stock, PATIENCE, System::nanoTime);
  private final StationSetup station = Samples.station("saw1");

  @AfterEach
  void close() {
    desk.close();
  }

  private void state(StockItem... items) {
    stock.follow(recorded(null, stated(items)));
  }

  private CutPlan rest(int mm, int quantity, @Nullable StockItem inSaw) {
    CompletableFuture<CutPlan> answer = new CompletableFuture<>();
    AskPlan ask = new AskPlan("supers", 1, order("supers", mm, quantity).parts(), inSaw);
    desk.rest(station, ask, answer::complete);
    assertThat(answer).succeedsWithin(PATIENCE);
    return answer.join();
  }

  private static StockItem inSaw(int mm) {
    return new StockItem(PINE, Length.ofMm(mm), 1, null, StickKind.IN_SAW, null);
  }

  @Test
  void thePlanForTheRestBeginsWithTheStickInTheSawAndIsClaimedForTheFormerOne() {
    state(sticks(2400, 3, null));
    desk.first("supers", station, order("supers", 505, 12).parts());
    assertThat(stock.ledger().available("frames")).isEmpty();

    CutPlan plan = rest(505, 6, inSaw(1200));

    assertThat(plan.shortages()).isEmpty();
    assertThat(plan.sticks()).extracting(PlannedSticks::kind).startsWith(StickKind.IN_SAW);
    assertThat(plan.stickCount()).isEqualTo(2);
    assertThat(stock.ledger().available("frames")).containsExactly(sticks(2400, 2, null));
  }

  @Test
  void whatNoStickIsFreeForIsShort() {
    state(sticks(2400, 1, null));
    desk.first("supers", station, order("supers", 505, 4).parts());

    CutPlan plan = rest(505, 7, null);

    assertThat(plan.shortages()).extracting(Shortage::missing).containsExactly(3);
    assertThat(plan.proven()).isTrue();
  }

  @Test
  void aPlanForTheRestNeverTakesWhatAnotherJobWasPromised() {
    state(sticks(2400, 2, null));
    desk.first("frames", station, order("frames", 505, 4).parts());

    CutPlan plan = rest(505, 8, null);

    assertThat(plan.stickCount()).isEqualTo(1);
    assertThat(plan.shortages()).extracting(Shortage::missing).containsExactly(4);
  }

  @Test
  void aDeskThatIsClosedTakesNoWishAndThrowsNothing() {
    CompletableFuture<CutPlan> answer = new CompletableFuture<>();
    desk.close();

    desk.rest(
        station, new AskPlan("supers", 1, order("supers", 505, 1).parts(), null), answer::complete);

    assertThat(answer).isNotDone();
  }
}
