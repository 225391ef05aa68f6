package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.LinkEvent.CutReported;
import org.kerftally.shared.device.LinkEvent.Down;
import org.kerftally.shared.device.LinkEvent.Replied;
import org.kerftally.shared.device.LinkEvent.Snapshot;
import org.kerftally.shared.device.LinkEvent.Up;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/** Steps a link's machine by hand: no thread, no socket, a clock that moves when told. */
class LinkMachineTest {

  private static final Duration TIMEOUT = Duration.ofSeconds(4);
  private static final Duration VALIDITY = Duration.ofSeconds(3);

  private final FakeBroker broker = new FakeBroker();
  private final List<LinkEvent> events = new ArrayList<>();
  private long nanos = 123;
  private final Clock clock = new SteppedClock();
  private LinkMachine machine;

  /** Runs with the monotonic clock. */
  private final class SteppedClock extends Clock {
    @Override
    public ZoneId getZone() {
      return ZoneOffset.UTC;
    }

    @Override
    public Clock withZone(ZoneId zone) {
      return this;
    }

    @Override
    public Instant instant() {
      return Instant.parse("2027-03-01T09:00:00Z").plusNanos(nanos);
    }
  }

  @BeforeEach
  void makeMachine() {
    MqttLinkConfig config =
        new MqttLinkConfig(
            "tcp://127.0.0.1:1883", "p/", Map.of(), null, null, TIMEOUT, TIMEOUT, null);
    machine =
        new LinkMachine(
            "saw1",
            BrokerAddress.parse(config.broker()),
            MqttTopics.of(config),
            TIMEOUT,
            broker,
            clock,
            () -> nanos,
            new Random(1),
            events::add);
  }

  @Test
  void comesUpWhenTheDeviceIsOnlineAndItsStatusIsRead() {
    subscribeAll();
    assertThat(broker.last().subscribed)
        .containsExactlyInAnyOrder("p/online", "p/status", "p/cut", "p/reply");

    retained("online", "true");
    assertThat(events).isEmpty();
    retained("status", status(12));

    assertThat(events).singleElement().isInstanceOf(Up.class);
    assertThat(machine.liveEpoch()).isPositive();
  }

  /** A broker hands retained messages out in any order. */
  @Test
  void comesUpWhenTheRetainedStatusComesFirst() {
    subscribeAll();
    retained("status", status(12));
    assertThat(events).isEmpty();
    retained("online", "true");

    assertThat(events).singleElement().isInstanceOf(Up.class);
  }

  @Test
  void retainedStatusOfADeviceThatIsOfflineIsNeverTaken() {
    for (boolean statusFirst : new boolean[] {true, false}) {
      events.clear();
      makeMachine();
      subscribeAll();
      retained(statusFirst ? "status" : "online", statusFirst ? status(12) : "false");
      retained(statusFirst ? "online" : "status", statusFirst ? "false" : status(12));
      assertThat(events).singleElement().isInstanceOf(Down.class);

      published("online", "true");
      assertThat(events).hasSize(1);
      retained("status", status(12));
      assertThat(events).hasSize(1);

      published("status", status(13));
      assertThat(events).last().isInstanceOf(Up.class);
    }
  }

  @Test
  void statusBeforeOnlineIsNotTakenOnceTheDeviceWasAway() {
    subscribeAll();
    retained("online", "false");
    published("status", status(13));
    published("online", "true");

    assertThat(events).singleElement().isInstanceOf(Down.class);
  }

  @Test
  void tellsTheLossOnceAndTriesAgainWithGrowingWaits() {
    machine.tick();
    List<Long> waits = new ArrayList<>();
    for (int round = 0; round < 8; round++) {
      machine.accept(new LinkInput.Lost(machine.generation(), "refused"));
      long wait = machine.nanosToNextDeadline();
      waits.add(wait);
      nanos += wait;
      machine.tick();
    }

    assertThat(events).containsExactly(new Down("refused"));
    assertThat(broker.sessions).hasSize(9).filteredOn(s -> s.abandoned).hasSize(8);
    assertThat(waits.get(0)).isBetween(millis(100), millis(200));
    assertThat(waits.get(7)).isBetween(millis(2_500), millis(5_000));
  }

  @Test
  void everyWaitForTheBrokerEnds() {
    machine.tick();
    pass(TIMEOUT);
    assertThat(broker.last().abandoned).isTrue();

    pass(Duration.ofSeconds(5));
    machine.accept(new LinkInput.Connected(machine.generation()));
    pass(TIMEOUT);
    assertThat(broker.last().abandoned).isTrue();
    assertThat(events).hasSize(1);
  }

  @Test
  void silentDeviceIsReportedAndStillTakenWhenItSpeaks() {
    subscribeAll();
    pass(TIMEOUT);
    assertThat(events).singleElement().isInstanceOf(Down.class);
    assertThat(((Down) events.get(0)).reason()).contains("p/online");

    published("online", "true");
    published("status", status(1));
    assertThat(events).last().isInstanceOf(Up.class);
    assertThat(broker.sessions).hasSize(1);
  }

  /** A machine at rest says nothing more: waiting for its next change could last for good. */
  @Test
  void restingDeviceThatCameWhileSubscribingIsAskedAnew() {
    subscribeAll();
    published("online", "true");
    retained("status", status(12));
    assertThat(events).isEmpty();
    pass(TIMEOUT);
    assertThat(broker.last().abandoned).isTrue();

    comeBack();
    assertThat(broker.sessions).hasSize(2);
  }

  /** What is published in the instant of a subscription may be lost by the broker. */
  @Test
  void deviceWhoseWordWasLostIsAskedForAgain() {
    subscribeAll();
    retained("status", status(12));
    pass(TIMEOUT);
    assertThat(events).singleElement().isInstanceOf(Down.class);
    assertThat(broker.last().subscribed).hasSize(8);

    retained("status", status(12));
    retained("online", "true");
    assertThat(events).last().isInstanceOf(Up.class);
    assertThat(broker.sessions).hasSize(1);
  }

  @Test
  void deviceThatIsAwayIsAskedForEveryTenSeconds() {
    goLive();
    published("online", "false");
    for (int round = 2; round < 5; round++) {
      pass(Duration.ofSeconds(10));
      assertThat(broker.last().subscribed).hasSize(4 * round);
      machine.accept(new LinkInput.Subscribed(machine.generation()));
      retained("online", "false");
      retained("status", status(12));
    }
    assertThat(events).singleElement().isInstanceOf(Down.class);
    assertThat(broker.sessions).hasSize(1);
  }

  @Test
  void changedStatusIsASnapshotAndAnEqualOneIsNothing() {
    goLive();
    published("status", status(12));
    assertThat(events).isEmpty();

    published("status", status(13));
    assertThat(events).singleElement().isInstanceOf(Snapshot.class);
  }

  @Test
  void deviceThatGoesOfflineTakesTheLinkDownWithoutDroppingTheSession() {
    goLive();
    published("online", "false");
    assertThat(events).singleElement().isInstanceOf(Down.class);
    assertThat(machine.liveEpoch()).isZero();

    published("online", "true");
    published("status", status(13));
    assertThat(events).last().isInstanceOf(Up.class);
    assertThat(broker.sessions).hasSize(1);
  }

  @Test
  void unreadableStatusTakesTheLinkDownAndNamesTheField() {
    goLive();
    published("status", status(12).replace("\"homed\":true", "\"homed\":1"));
    assertThat(events).singleElement().isInstanceOf(Down.class);
    assertThat(((Down) events.get(0)).reason()).contains("status.homed");

    published("status", status(13));
    assertThat(events).last().isInstanceOf(Up.class);
  }

  @Test
  void unreadableCutOrReplyCostsNothingButItself() {
    goLive();
    published("cut", "{");
    published("reply", "[]");
    published("cut", "{\"boot\":\"b\",\"count\":13,\"seq\":0,\"position_mm\":1,\"at\":null}");

    assertThat(events).singleElement().isInstanceOf(CutReported.class);
  }

  @Test
  void targetExpiresWithItsValidityRoundedUpToSeconds() {
    goLive();
    machine.send(target(17, Duration.ofMillis(2_100)));

    FakeBroker.Published sent = broker.last().published.get(0);
    assertThat(sent.topic()).isEqualTo("p/target");
    assertThat(sent.expirySeconds()).isEqualTo(3);
    assertThat(sent.payload()).contains("\"seq\":17").contains("\"position_mm\":505");
  }

  @Test
  void voidTargetIsNotSent() {
    goLive();
    machine.send(target(17, Duration.ZERO));
    machine.send(target(18, Duration.ofMillis(-1)));

    assertThat(broker.last().published).isEmpty();
  }

  @Test
  void targetIsNotSentUnlessLive() {
    subscribeAll();
    machine.send(target(17, VALIDITY));
    retained("online", "true");
    retained("status", status(12));

    assertThat(broker.last().published).isEmpty();
  }

  @Test
  void answerIsPassedOnOnce() {
    goLive();
    machine.send(target(17, VALIDITY));
    published("reply", "{\"seq\":16,\"accepted\":true}");
    published("reply", "{\"seq\":17,\"accepted\":false,\"reason\":\"saw busy\"}");
    published("reply", "{\"seq\":17,\"accepted\":true}");

    assertThat(events).containsExactly(new Replied(17, false, "saw busy"));
  }

  @Test
  void answerAfterTheValidityIsDropped() {
    goLive();
    machine.send(target(17, VALIDITY));
    delivered();
    pass(VALIDITY);
    published("reply", "{\"seq\":17,\"accepted\":true}");

    assertThat(events).isEmpty();
    assertThat(broker.last().abandoned).isFalse();
  }

  /** What the broker has not acknowledged may still lie in a buffer here: it must never go out. */
  @Test
  void targetTheBrokerDidNotAcknowledgeInTimeTakesTheSessionAway() {
    goLive();
    machine.send(target(17, VALIDITY));
    pass(VALIDITY);

    assertThat(broker.sessions.get(0).abandoned).isTrue();
    assertThat(events).singleElement().isInstanceOf(Down.class);
  }

  @Test
  void targetNobodyListensForIsRefusedAtOnce() {
    goLive();
    machine.send(target(17, VALIDITY));
    long ticket = broker.last().published.get(0).ticket();
    machine.accept(new LinkInput.Undeliverable(machine.generation(), ticket, "nobody"));

    assertThat(events).containsExactly(new Replied(17, false, "nobody"));
  }

  @Test
  void nothingIsCarriedOverToTheNextSession() {
    goLive();
    machine.send(target(17, VALIDITY));
    machine.accept(new LinkInput.Lost(machine.generation(), "gone"));
    comeBack();
    events.clear();
    published("reply", "{\"seq\":17,\"accepted\":true}");

    assertThat(events).isEmpty();
    assertThat(broker.last().published).isEmpty();
  }

  @Test
  void newestPromptWinsWhileOneIsOnItsWayAndIsShownAgainAfterAReturn() {
    goLive();
    machine.show(prompt("one"));
    machine.show(prompt("two"));
    machine.show(prompt("three"));
    assertThat(broker.last().published).hasSize(1);
    delivered();
    assertThat(broker.last().published).hasSize(2);
    assertThat(broker.last().published.get(1).payload()).contains("three");
    delivered();
    assertThat(broker.last().published).hasSize(2);

    machine.accept(new LinkInput.Lost(machine.generation(), "gone"));
    comeBack();
    assertThat(broker.last().published).hasSize(1);
    assertThat(broker.last().published.get(0).payload()).contains("three");
  }

  @Test
  void lastWordsOfADroppedSessionAreDropped() {
    goLive();
    int former = machine.generation();
    machine.accept(new LinkInput.Lost(former, "gone"));
    pass(Duration.ofSeconds(1));
    events.clear();
    machine.accept(new LinkInput.Connected(former));
    machine.accept(new LinkInput.Lost(former, "gone again"));
    machine.accept(arrived(former, "online", "true", false));

    assertThat(broker.last().abandoned).isFalse();
    assertThat(broker.last().subscribed).isEmpty();
    assertThat(events).isEmpty();
  }

  @Test
  void noSessionIsOpenedWhileTooManyAreStillEnding() {
    broker.full = true;
    machine.tick();
    assertThat(broker.sessions).isEmpty();
    assertThat(events).singleElement().isInstanceOf(Down.class);

    broker.full = false;
    pass(Duration.ofSeconds(1));
    assertThat(broker.sessions).hasSize(1);
  }

  @Test
  void closedLinkSaysGoodbyeAndNothingElse() {
    goLive();
    machine.close();
    published("status", status(13));
    pass(Duration.ofMinutes(1));

    assertThat(broker.last().left).isTrue();
    assertThat(events).isEmpty();
    assertThat(broker.sessions).hasSize(1);
  }

  private void goLive() {
    comeBack();
    events.clear();
  }

  private void comeBack() {
    nanos += machine.nanosToNextDeadline();
    subscribeAll();
    retained("online", "true");
    retained("status", status(12));
    assertThat(events).last().isInstanceOf(Up.class);
  }

  private void subscribeAll() {
    machine.tick();
    assertThat(broker.last().connecting).isTrue();
    machine.accept(new LinkInput.Connected(machine.generation()));
    machine.accept(new LinkInput.Subscribed(machine.generation()));
  }

  private void delivered() {
    List<FakeBroker.Published> all = broker.last().published;
    long ticket = all.get(all.size() - 1).ticket();
    machine.accept(new LinkInput.Delivered(machine.generation(), ticket));
  }

  private void pass(Duration span) {
    nanos += span.toNanos();
    machine.tick();
  }

  private void retained(String topic, String payload) {
    machine.accept(arrived(machine.generation(), topic, payload, true));
  }

  private void published(String topic, String payload) {
    machine.accept(arrived(machine.generation(), topic, payload, false));
  }

  private static LinkInput arrived(int generation, String topic, String text, boolean retained) {
    byte[] payload = text.getBytes(StandardCharsets.UTF_8);
    return new LinkInput.Arrived(generation, "p/" + topic, payload, retained);
  }

  private static long millis(long millis) {
    return Duration.ofMillis(millis).toNanos();
  }

  private static Prompt prompt(String text) {
    return new Prompt(Prompt.Kind.CUT, text, null, null, null);
  }

  private Target target(long seq, Duration left) {
    return new Target(
        seq, Length.ofMm(505), "super side", "job-1", clock.instant().plus(left), VALIDITY);
  }

  private static String status(int count) {
    return "{\"boot\":\"b\",\"count\":"
        + count
        + ",\"last_cut\":null,\"active_seq\":0,\"position_mm\":505.0,\"target_reached\":true,"
        + "\"homed\":true,\"enabled\":true,\"remote\":true,\"saw\":\"idle\",\"fault_code\":0}";
  }
}
