package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Timeout;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.protocol.mqtt.DeviceTalk.Heard;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.MoveEngine;
import org.kerftally.protocol.wiring.MoveInputs;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/**
 * Holds that whatever a wired device publishes, on whichever of its topics and in whichever order,
 * is a snapshot within bounds or an error that is fit to be logged, and that its handshake can be
 * looked at afterwards. An input is a row of messages parted by a zero byte; the first byte of each
 * chooses the topic, in upper case for a message that was retained.
 */
class WiredTalkFuzzTest {

  private static final int MOST_MESSAGES = 64;
  private static final int LONGEST_ERROR_CHARS = 900;
  private static final Length FARTHEST = Length.ofMm(1_000_000);
  private static final long MAX_TOTAL = (1L << 53) - 1;

  private static final long VALID_NANOS = 40;
  private static final Target TARGET =
      new Target(4, Length.ofMm(505), null, "comb-honey", Instant.MAX, Duration.ofSeconds(3));

  private static final String STATE = "line/state";
  private static final Map<Character, String> TOPICS =
      Map.of('s', STATE, 'p', "line/pos", 'w', "line/word", 'a', "line/alive", 'r', "line/ack");

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void aRowOfMessagesIsSnapshotsWithinBoundsOrSaysWhyNot(byte[] input) {
    WiringConfig wiring = new WiringConfig(signals(), lacks(), move());
    DevicePicture picture = new DevicePicture(wiring, Length.ofNm(100_000), "m1");
    WiredTalk talk = new WiredTalk(wiring, null, picture);
    talk.forget();
    MoveEngine engine = new MoveEngine(wiring.move(), picture);
    engine.offer(TARGET, VALID_NANOS);
    long now = 0;
    for (byte[] message : messages(input)) {
      hear(talk, message);
      look(engine, talk, now++);
    }
  }

  private static List<byte[]> messages(byte[] input) {
    List<byte[]> messages = new ArrayList<>();
    int from = 0;
    for (int i = 0; i <= input.length && messages.size() < MOST_MESSAGES; i++) {
      if (i == input.length || input[i] == 0) {
        if (i > from) {
          messages.add(Arrays.copyOfRange(input, from, i));
        }
        from = i + 1;
      }
    }
    return messages;
  }

  private static void hear(WiredTalk talk, byte[] message) {
    char first = (char) message[0];
    String topic = TOPICS.getOrDefault(Character.toLowerCase(first), STATE);
    byte[] payload = Arrays.copyOfRange(message, 1, message.length);
    try {
      for (Heard heard : talk.hear(topic, payload, Character.isUpperCase(first))) {
        if (heard instanceof Heard.Status status) {
          assertWithinBounds(status.snapshot());
        }
      }
    } catch (MalformedMessageException e) {
      assertFitToBeLogged(String.valueOf(e.getMessage()));
    }
  }

  private static void look(MoveEngine engine, WiredTalk talk, long now) {
    MoveInputs inputs = talk.inputs();
    if (inputs == null) {
      return;
    }
    try {
      MoveEngine.Work work = engine.look(inputs, talk.permitsMove(), now);
      assertThat(work.writes().size()).isLessThanOrEqualTo(1);
      LinkEvent.Replied reply = work.reply();
      if (reply != null) {
        assertThat(reply.seq()).isEqualTo(TARGET.seq());
        assertThat(reply.accepted() || !String.valueOf(reply.reason()).isBlank()).isTrue();
      }
    } catch (SignalFault e) {
      assertFitToBeLogged(e.reason());
    }
  }

  private static void assertFitToBeLogged(String text) {
    assertThat(text.isBlank()).isFalse();
    assertThat(text.length()).as(text).isLessThan(LONGEST_ERROR_CHARS);
    assertThat(text.chars().noneMatch(Character::isISOControl)).as(text).isTrue();
  }

  private static void assertWithinBounds(DeviceSnapshot read) {
    assertThat(read.boot().isBlank()).isFalse();
    assertThat(read.cutCount()).isBetween(0L, MAX_TOTAL);
    assertThat(read.activeSequence()).isBetween(0L, (1L << 32) - 1);
    assertThat(read.position()).isBetween(Length.ZERO.minus(FARTHEST), FARTHEST);
    assertThat(read.panel().acknowledged()).isBetween(0L, MAX_TOTAL);
    Length stick = read.panel().stickLength();
    assertThat(stick == null || !stick.isNegative()).isTrue();
    if (read.lastCut() != null) {
      assertThat(read.lastCut().count()).isBetween(1L, MAX_TOTAL);
    }
  }

  private static Map<Signal, PointConfig> signals() {
    Map<Signal, PointConfig> map = new EnumMap<>(Signal.class);
    map.put(Signal.BOOT_ID, at("s", "/boot"));
    map.put(Signal.CUT_COUNT, at("s", "/n"));
    map.put(Signal.LAST_CUT_BOOT, at("s", "/last/boot"));
    map.put(Signal.LAST_CUT_COUNT, at("s", "/last/n"));
    map.put(Signal.LAST_CUT_SEQUENCE, at("s", "/last/id"));
    map.put(Signal.LAST_CUT_POSITION, at("s", "/last/at"));
    map.put(Signal.LAST_CUT_TIME, at("s", "/last/time"));
    map.put(Signal.ACTIVE_SEQUENCE, at("s", "/id"));
    map.put(Signal.TARGET_REACHED, at("w", null).masked(1 << 10, null));
    map.put(Signal.ENABLED, at("w", null).masked(0x6F, 0x27L));
    map.put(Signal.FAULT_CODE, at("s", "/err"));
    map.put(Signal.FAULT_TEXT, at("s", "/text"));
    map.put(Signal.ONLINE, at("a", null));
    map.put(Signal.PAUSED, at("s", "/paused"));
    map.put(
        Signal.POSITION_ACTUAL_VALUE,
        new PointConfig(
            topic("p", null),
            null,
            null,
            null,
            false,
            Map.of(),
            Length.ofNm(12_500),
            true,
            null,
            null));
    map.put(
        Signal.SAW_STATE,
        new PointConfig(
            topic("s", "/saw"),
            null,
            null,
            null,
            false,
            Map.of("home", "idle", "2", "guard-down", "true", "blade-out"),
            null,
            false,
            null,
            null));
    map.put(Signal.STICK_LENGTH, at("s", "/stick"));
    map.put(Signal.STICK_LOADED_COUNT, at("s", "/sticks"));
    map.put(
        Signal.ACKNOWLEDGE_COUNT,
        new PointConfig(
            topic("s", "/ack"),
            null,
            null,
            null,
            true,
            Map.of(),
            null,
            false,
            PointConfig.Edge.FALLING,
            null));
    return map;
  }

  private static Set<StandIn> lacks() {
    return Set.of(StandIn.HOMING_ATTAINED, StandIn.REMOTE_ALLOWED);
  }

  private static MoveConfig move() {
    Map<String, PointConfig> points = new LinkedHashMap<>();
    points.put(
        "command",
        new PointConfig(
            new Place.Topic("line/cmd", null),
            null,
            null,
            null,
            false,
            Map.of(),
            null,
            false,
            null,
            "{\"to\":{position},\"id\":{sequence}}"));
    points.put("answer", at("r", "/id"));
    points.put("accepted", at("r", "/ok"));
    points.put("reason", at("r", "/why"));
    return new MoveConfig(MoveConfig.How.MESSAGE, points, false);
  }

  private static PointConfig at(String topic, @Nullable String pointer) {
    return PointConfig.plain(topic(topic, pointer));
  }

  private static Place.Topic topic(String letter, @Nullable String pointer) {
    return new Place.Topic(String.valueOf(TOPICS.get(letter.charAt(0))), pointer);
  }
}
