package org.kerftally.protocol.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.shared.device.LinkEvent.Replied;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/** What is published to a wired device, and for how long each message holds. */
class WiredMovesTest {

  private static final Instant NOW = Instant.parse("2027-03-01T09:15:02Z");
  private static final Duration VALIDITY = Duration.ofMillis(2_900);

  private final List<String> published = new ArrayList<>();
  private long nanos;

  /** Writes down what is published. */
  private final BrokerSession broker =
      new BrokerSession() {
        @Override
        public void connect() {}

        @Override
        public void subscribe(List<String> topics) {}

        @Override
        public void publish(String topic, byte[] payload, long expirySeconds, long ticket) {
          published.add(topic + " " + new String(payload, UTF_8) + " for " + expirySeconds + " s");
        }

        @Override
        public void abandon() {}

        @Override
        public void leave() {}
      };

  private final WiringConfig wiring =
      new WiringConfig(
          Map.of(
              Signal.POSITION_ACTUAL_VALUE, point("s", "/at"),
              Signal.CUT_COUNT, point("s", "/n"),
              Signal.BOOT_ID, point("s", "/up")),
          Set.of(
              StandIn.ONLINE,
              StandIn.ACTIVE_SEQUENCE,
              StandIn.LAST_CUT,
              StandIn.TARGET_REACHED,
              StandIn.SAW_STATE,
              StandIn.HOMING_ATTAINED,
              StandIn.ENABLED,
              StandIn.REMOTE_ALLOWED,
              StandIn.FAULT_CODE),
          new MoveConfig(
              MoveConfig.How.STROBE,
              Map.of(
                  "position", point("to", null),
                  "strobe", point("go", null),
                  "echo", point("seen", null)),
              false));

  private final DevicePicture picture = new DevicePicture(wiring, Length.ofNm(100_000), "m1");
  private final WiredTalk talk = new WiredTalk(wiring, "reply", picture);
  private final WiredMoves moves =
      new WiredMoves(
          wiring.move(),
          picture,
          talk,
          Duration.ofSeconds(4),
          Clock.fixed(NOW, ZoneOffset.UTC),
          () -> nanos);

  private static PointConfig point(String topic, @Nullable String at) {
    return PointConfig.plain(new Place.Topic(topic, at));
  }

  private void hear(String topic, String payload) throws MalformedMessageException {
    assertThat(talk.hear(topic, payload.getBytes(UTF_8), false)).isNotEmpty();
  }

  private void goLive() throws MalformedMessageException {
    talk.forget();
    hear("s", "{\"at\":100.5,\"n\":12,\"up\":3}");
    moves.begin(broker);
    hear("seen", "0");
    assertThat(moves.goOn(broker)).isNull();
  }

  private void send() throws MalformedMessageException {
    moves.send(
        broker, new Target(17, Length.ofMm(505), "side", "job", NOW.plus(VALIDITY), VALIDITY));
    assertThat(moves.goOn(broker)).isNull();
  }

  @Test
  void noMessageOfATargetHoldsLongerThanTheTarget() throws MalformedMessageException {
    goLive();
    send();

    assertThat(published).containsExactly("go false for 60 s", "to 505 for 2 s", "go true for 2 s");
    nanos += VALIDITY.toNanos() - 1;
    assertThat(moves.isOverdue()).isFalse();
    nanos += 1;
    assertThat(moves.isOverdue()).isTrue();
  }

  @Test
  void anEchoIsTheAnswerAndTheStrobeIsTakenBack() throws MalformedMessageException {
    goLive();
    send();
    published.clear();

    hear("seen", "1");

    assertThat(moves.goOn(broker)).isEqualTo(new Replied(17, true, null));
    assertThat(published).containsExactly("go false for 60 s");
  }

  @Test
  void aTargetNobodyListensForIsRefused() throws MalformedMessageException {
    goLive();
    send();

    assertThat(moves.undeliverable(new LinkInput.Undeliverable(1, -3, "no device listens on go")))
        .isEqualTo(new Replied(17, false, "no device listens on go"));
  }
}
