package org.kerftally.protocol.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.LinkedHashMap;
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
import org.kerftally.protocol.mqtt.DeviceTalk.Heard;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.shared.length.Length;

class WiredTalkTest {

  private static final String STATE = "plant/saw/state";
  private static final String ACTUAL = "plant/saw/actual";
  private static final String ALIVE = "plant/saw/alive";
  private static final String WHOLE =
      "{\"ref\":1,\"on\":true,\"in\":0,\"home\":true,\"n\":12,\"up\":3,\"id\":17}";

  private final Map<Signal, PointConfig> map = new LinkedHashMap<>();

  WiredTalkTest() {
    map.put(Signal.ONLINE, point(ALIVE, null));
    map.put(Signal.POSITION_ACTUAL_VALUE, point(ACTUAL, null));
    map.put(Signal.HOMING_ATTAINED, point(STATE, "/ref"));
    map.put(Signal.ENABLED, point(STATE, "/on"));
    map.put(Signal.TARGET_REACHED, point(STATE, "/in"));
    map.put(
        Signal.SAW_STATE,
        new PointConfig(
            new Place.Topic(STATE, "/home"),
            null,
            null,
            null,
            false,
            Map.of("true", "idle", "false", "guard-down"),
            null,
            false,
            null,
            null));
    map.put(Signal.CUT_COUNT, point(STATE, "/n"));
    map.put(Signal.BOOT_ID, point(STATE, "/up"));
    map.put(Signal.ACTIVE_SEQUENCE, point(STATE, "/id"));
  }

  private static PointConfig point(String topic, @Nullable String pointer) {
    return PointConfig.plain(new Place.Topic(topic, pointer));
  }

  private WiredTalk talk() {
    WiringConfig wiring =
        new WiringConfig(
            map,
            Set.of(StandIn.LAST_CUT, StandIn.REMOTE_ALLOWED, StandIn.FAULT_CODE),
            MoveConfig.CONTRACT);
    DevicePicture picture = new DevicePicture(wiring, Length.ofNm(100_000), "m1");
    WiredTalk talk = new WiredTalk(wiring, "plant/saw/reply", picture);
    talk.forget();
    return talk;
  }

  private static List<Heard> hear(WiredTalk talk, String topic, String payload, boolean retained)
      throws MalformedMessageException {
    return talk.hear(topic, payload.getBytes(UTF_8), retained);
  }

  private static List<String> kinds(List<Heard> heard) {
    List<String> kinds = new ArrayList<>();
    heard.forEach(
        h ->
            kinds.add(
                h instanceof Heard.Status s
                    ? "status retained=" + s.retained()
                    : h instanceof Heard.Online o
                        ? "online=" + o.online() + " retained=" + o.retained()
                        : "other"));
    return kinds;
  }

  @Test
  void eachTopicIsSubscribedOnce() {
    assertThat(talk().topics()).containsExactlyInAnyOrder(ALIVE, ACTUAL, STATE, "plant/saw/reply");
  }

  @Test
  void thereIsNoStatusBeforeEverySignalWasHeard() throws MalformedMessageException {
    WiredTalk talk = talk();

    assertThat(kinds(hear(talk, ALIVE, "1", true))).containsExactly("online=true retained=true");
    assertThat(kinds(hear(talk, STATE, WHOLE, true))).isEmpty();
    assertThat(talk.statusPlace()).isEqualTo("PositionActualValue (topic plant/saw/actual)");
    assertThat(kinds(hear(talk, ACTUAL, "505.02", true))).containsExactly("status retained=true");
  }

  @Test
  void aStatusIsOfNowOnlyWhenNoPieceOfItLayAtTheBroker() throws MalformedMessageException {
    WiredTalk talk = talk();
    hear(talk, ALIVE, "1", true);
    hear(talk, STATE, WHOLE, true);
    hear(talk, ACTUAL, "505.02", true);

    assertThat(kinds(hear(talk, ACTUAL, "505.03", false))).containsExactly("status retained=true");
    assertThat(kinds(hear(talk, STATE, WHOLE, false))).containsExactly("status retained=true");
    assertThat(kinds(hear(talk, ALIVE, "1", false)))
        .containsExactly("online=true retained=false", "status retained=false");
  }

  @Test
  void aDeviceThatLeftIsHeardFromNothing() throws MalformedMessageException {
    WiredTalk talk = talk();
    hear(talk, STATE, WHOLE, true);
    hear(talk, ACTUAL, "505.02", true);

    assertThat(kinds(hear(talk, ALIVE, "0", false))).containsExactly("online=false retained=false");
    assertThat(talk.missing()).hasSize(map.size());
    assertThat(talk.inputs()).isNull();
  }

  /** What is retained may be of a device that was switched off long ago. */
  @Test
  void withoutASignalForItADeviceIsThereOnceItSpeaks() throws MalformedMessageException {
    map.remove(Signal.ONLINE);
    WiredTalk talk = talk();

    assertThat(kinds(hear(talk, STATE, WHOLE, true))).isEmpty();
    assertThat(kinds(hear(talk, ACTUAL, "505.02", true))).containsExactly("status retained=true");
    assertThat(kinds(hear(talk, ACTUAL, "505.03", false)))
        .containsExactly("online=true retained=true", "status retained=true");
    assertThat(kinds(hear(talk, ACTUAL, "505.04", false))).containsExactly("status retained=true");
  }

  @Test
  void textWhereTheMapHasAPointerIsNamedWithItsSignalAndTheMend() {
    assertThatThrownBy(() -> hear(talk(), STATE, "homed", true))
        .isInstanceOf(MalformedMessageException.class)
        .hasMessageStartingWith("signal HomingAttained: topic plant/saw/state: not JSON")
        .hasMessageEndingWith("; for plain text leave `pointer` out");
  }

  @Test
  void aPointerThatFindsNothingIsNamedWithItsSignal() {
    assertThatThrownBy(() -> hear(talk(), STATE, WHOLE.replace("\"ref\"", "\"Ref\""), true))
        .hasMessage(
            "signal HomingAttained: nothing in the message; the map says topic plant/saw/state at"
                + " /ref");
  }

  /** Before the first cut a device has no last one to tell of. */
  @Test
  void whatADeviceHasNothingToSayOfIsNullOrInWhatIsNull() throws MalformedMessageException {
    map.put(Signal.STICK_LENGTH, point(STATE, "/stick"));
    map.put(Signal.DEFECT_POSITION, point(STATE, "/panel/defect"));
    WiredTalk talk = talk();
    hear(talk, ALIVE, "1", false);
    hear(talk, ACTUAL, "505.02", false);

    String none = WHOLE.replaceFirst("\\{", "{\"stick\":null,\"panel\":null,");
    assertThat(kinds(hear(talk, STATE, none, false))).containsExactly("status retained=false");
    String some = WHOLE.replaceFirst("\\{", "{\"stick\":2440,\"panel\":{\"defect\":800},");
    assertThat(kinds(hear(talk, STATE, some, false))).containsExactly("status retained=false");

    assertThatThrownBy(() -> hear(talk, STATE, some.replace("defect", "defekt"), false))
        .hasMessage(
            "signal DefectPosition: nothing in the message; the map says topic plant/saw/state at"
                + " /panel/defect");
  }

  @Test
  void aPointerToAnObjectIsNamedWithItsSignal() {
    assertThatThrownBy(() -> hear(talk(), STATE, WHOLE.replace("\"ref\":1", "\"ref\":{}"), true))
        .hasMessage(
            "signal HomingAttained: topic plant/saw/state at /ref is an object, expected one value;"
                + " check `pointer`");
  }

  @Test
  void aTextWhereANumberBelongsIsNamedWithItsSignal() throws MalformedMessageException {
    WiredTalk talk = talk();
    hear(talk, ALIVE, "1", true);
    hear(talk, STATE, WHOLE, true);

    assertThatThrownBy(() -> hear(talk, ACTUAL, "505,02", true))
        .hasMessage(
            "signal PositionActualValue (topic plant/saw/actual) is String 505,02; expected a"
                + " number");
  }

  @Test
  void aMessageOfAnySizeIsBounded() {
    assertThatThrownBy(() -> hear(talk(), ACTUAL, "5".repeat(1_025), true))
        .hasMessageContaining("1025 bytes of plain text");
    assertThatThrownBy(() -> hear(talk(), STATE, "[".repeat(70_000), true))
        .isInstanceOf(MalformedMessageException.class);
    assertThatThrownBy(() -> hear(talk(), STATE, "[".repeat(1_000), true))
        .isInstanceOf(MalformedMessageException.class);
  }

  @Test
  void bytesThatAreNoTextAreNamed() {
    assertThatThrownBy(() -> talk().hear(ACTUAL, new byte[] {(byte) 0xC3, 0x28}, true))
        .hasMessage(
            "signal PositionActualValue: the message on plant/saw/actual is no text in UTF-8");
  }
}
