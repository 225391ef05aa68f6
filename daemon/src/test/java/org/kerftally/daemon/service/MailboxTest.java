package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

final class MailboxTest {

  private final Mailbox mailbox = new Mailbox();

  private static StationInput snapshot(long count) {
    return new StationInput.FromLink(
        new LinkEvent.Snapshot(
            new DeviceSnapshot(
                "boot-1",
                count,
                null,
                0,
                Length.ZERO,
                false,
                true,
                true,
                true,
                SawState.IDLE,
                0,
                "",
                OperatorPanel.UNTOUCHED)));
  }

  private static StationInput withdrawal(int number) {
    return new StationInput.JobWithdrawn("job-" + number, "replaced");
  }

  private List<StationInput> takeAll() throws InterruptedException {
    List<StationInput> all = new ArrayList<>();
    for (StationInput next = mailbox.take(0); next != null; next = mailbox.take(0)) {
      all.add(next);
    }
    return all;
  }

  @Test
  void whatCameFirstIsTakenFirst() throws InterruptedException {
    mailbox.put(withdrawal(1));
    mailbox.put(snapshot(1));
    mailbox.put(withdrawal(2));

    assertThat(mailbox.size()).isEqualTo(3);
    assertThat(takeAll()).containsExactly(withdrawal(1), snapshot(1), withdrawal(2));
    assertThat(mailbox.size()).isZero();
  }

  @Test
  void anEmptyOneAnswersWithNothingOnceThePatienceIsUsedUp() throws InterruptedException {
    assertThat(mailbox.take(1)).isNull();
  }

  @Test
  void aTakerThatWaitsIsWokenByWhatIsPut() {
    CompletableFuture<StationInput> taken = new CompletableFuture<>();
    Thread taker =
        new Thread(
            () -> {
              try {
                taken.complete(mailbox.take(Duration.ofMinutes(5).toMillis()));
              } catch (InterruptedException e) {
                taken.completeExceptionally(e);
              }
            });
    taker.start();
    await().until(() -> taker.getState() == Thread.State.TIMED_WAITING);

    mailbox.put(withdrawal(7));

    assertThat(taken).succeedsWithin(Duration.ofMinutes(1)).isEqualTo(withdrawal(7));
  }

  @Test
  void aFullOneDropsTheOldestOfWhatIsToldAgain() throws InterruptedException {
    mailbox.put(withdrawal(0));
    for (int i = 1; i < Mailbox.CAPACITY; i++) {
      mailbox.put(snapshot(i));
    }
    mailbox.put(snapshot(Mailbox.CAPACITY));
    mailbox.put(withdrawal(1));

    List<StationInput> all = takeAll();

    assertThat(all).hasSize(Mailbox.CAPACITY).startsWith(withdrawal(0), snapshot(3));
    assertThat(all).endsWith(snapshot(Mailbox.CAPACITY), withdrawal(1));
  }

  @Test
  void whatCannotBeToldAgainIsNeverDropped() throws InterruptedException {
    List<StationInput> given = new ArrayList<>();
    for (int i = 0; i < Mailbox.CAPACITY + 5; i++) {
      given.add(withdrawal(i));
      mailbox.put(withdrawal(i));
    }

    assertThat(takeAll()).isEqualTo(given);
  }
}
