package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.service.Samples.NOON;
import static org.kerftally.daemon.service.Samples.order;
import static org.kerftally.daemon.service.Samples.plan;
import static org.kerftally.daemon.service.Samples.recorded;
import static org.kerftally.daemon.service.Samples.stated;
import static org.kerftally.daemon.service.Samples.sticks;

import java.time.Clock;
import java.time.ZoneOffset;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StockItem;

final class StockDeskTest {

  private final StockDesk desk = new StockDesk(Clock.fixed(NOON, ZoneOffset.UTC));

  private void state(StockItem... items) {
    desk.follow(recorded(null, stated(items)));
  }

  private List<StockItem> freeFor(String job) {
    return desk.ledger().available(job);
  }

  @Test
  void aStickIsPromisedOnce() {
    state(sticks(2400, 3, null));

    assertThat(desk.claim("supers", "saw1", plan(2400, 2, null))).isTrue();
    assertThat(desk.claim("frames", "saw1", plan(2400, 2, null))).isFalse();
    assertThat(desk.claim("frames", "saw1", plan(2400, 1, null))).isTrue();
    assertThat(freeFor("stands")).isEmpty();
  }

  @Test
  void aClaimThatFailsTakesNothing() {
    state(sticks(2400, 1, null));

    assertThat(desk.claim("supers", "saw1", plan(2400, 2, null))).isFalse();

    assertThat(freeFor("frames")).containsExactly(sticks(2400, 1, null));
  }

  @Test
  void aNewClaimTakesThePlaceOfTheJobsFormerOne() {
    state(sticks(2400, 3, null));
    assertThat(desk.claim("supers", "saw1", plan(2400, 3, null))).isTrue();

    assertThat(desk.claim("supers", "saw1", plan(2400, 2, null))).isTrue();

    assertThat(freeFor("frames")).containsExactly(sticks(2400, 1, null));
    assertThat(freeFor("supers")).containsExactly(sticks(2400, 3, null));
  }

  @Test
  void anOffcutIsClaimedByItsLabel() {
    state(sticks(1130, 1, "P-11"));

    assertThat(desk.claim("supers", "saw1", plan(1130, 1, "P-12"))).isFalse();
    assertThat(desk.claim("supers", "saw1", plan(1130, 1, "P-11"))).isTrue();
    assertThat(desk.claim("frames", "saw1", plan(1130, 1, "P-11"))).isFalse();
  }

  @Test
  void sticksWithoutANumberNeverRunOut() {
    state(sticks(2400, null, null));

    assertThat(desk.claim("supers", "saw1", plan(2400, 500, null))).isTrue();
    assertThat(desk.claim("frames", "saw1", plan(2400, 500, null))).isTrue();
  }

  @Test
  void whatTheLogSaysOfAJobIsFreeAgainWhenTheJobIsOver() {
    state(sticks(2400, 3, null));
    var taken = new JobTaken(order("supers", 505, 2), "saw1", plan(2400, 2, null));
    desk.follow(recorded(null, taken));
    assertThat(freeFor("frames")).containsExactly(sticks(2400, 1, null));

    var stick = plan(2400, 2, null).sticks().get(0).single();
    desk.follow(recorded("saw1", new StickLoaded("supers", 1, stick, Length.ofMm(2400), -1)));
    desk.follow(recorded("saw1", new JobEnded("supers", List.of())));

    assertThat(freeFor("frames")).containsExactly(sticks(2400, 2, null));
  }
}
