package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assertions.assertTimeout;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

class DeviceMessagesTest {

  static final String STATUS =
      """
      {"boot":"b-1","count":12,
       "last_cut":{"boot":"b-0","count":12,"seq":17,"position_mm":505.02,
                   "at":"2027-03-01T09:15:02.117Z"},
       "active_seq":18,"position_mm":413.5,"target_reached":true,"homed":true,"enabled":true,
       "remote":false,"saw":"guard-down","fault_code":4,"fault_text":"Low air pressure",
       "panel":{"stick_loaded":3,"stick_length_mm":2440.5,"rejected":1,"defects":2,
                "defect_at_mm":800,"acknowledged":4,"paused":true}}
      """;

  @Test
  void statusIsReadWhole() throws MalformedMessageException {
    assertThat(status(STATUS))
        .isEqualTo(
            new DeviceSnapshot(
                "b-1",
                12,
                new LastCut(
                    "b-0",
                    12,
                    17,
                    Length.ofNm(505_020_000),
                    Instant.parse("2027-03-01T09:15:02.117Z")),
                18,
                Length.ofNm(413_500_000),
                true,
                true,
                true,
                false,
                SawState.GUARD_DOWN,
                4,
                "Low air pressure",
                new OperatorPanel(
                    3, Length.ofNm(2_440_500_000L), 1, 2, Length.ofMm(800), 4, true)));
  }

  @Test
  void statusOfADeviceWithoutPanelAndMemoryIsRead() throws MalformedMessageException {
    DeviceSnapshot read =
        status(
            """
            {"boot":"b","count":0,"last_cut":null,"active_seq":0,"position_mm":-0.5,
             "target_reached":false,"homed":false,"enabled":false,"remote":false,"saw":"unknown",
             "fault_code":0,"added_later":[1,{"a":null}]}
            """);

    assertThat(read.lastCut()).isNull();
    assertThat(read.panel()).isEqualTo(OperatorPanel.UNTOUCHED);
    assertThat(read.faultText()).isEmpty();
    assertThat(read.position()).isEqualTo(Length.ofNm(-500_000));
  }

  /** Some controllers write every number with a decimal point. */
  @Test
  void wholeNumbersMayBeWrittenWithAPoint() throws MalformedMessageException {
    assertThat(
            status(with("\"boot\":\"b-1\",\"count\":12,", "\"boot\":\"b-1\",\"count\":12.0,"))
                .cutCount())
        .isEqualTo(12);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      value = {
        "\"boot\":\"b-1\" | \"boat\":\"b-1\" | status.boot",
        "\"boot\":\"b-1\" | \"boot\":\"\" | status.boot",
        "\"boot\":\"b-1\" | \"boot\":7 | status.boot",
        "\"boot\":\"b-1\" | \"boot\":\"a\\u0000b\" | status.boot",
        "\"active_seq\":18 | \"active_seq\":-1 | status.active_seq",
        "\"active_seq\":18 | \"active_seq\":1.5 | status.active_seq",
        "\"active_seq\":18 | \"active_seq\":9007199254740992 | status.active_seq",
        "\"active_seq\":18 | \"active_seq\":1e300 | status.active_seq",
        "\"active_seq\":18 | \"active_seq\":1e100000000 | status.active_seq",
        "\"active_seq\":18 | \"active_seq\":\"18\" | status.active_seq",
        "\"active_seq\":18 | \"active_seq\":null | status.active_seq",
        "413.5 | 1e100000000 | status.position_mm",
        "413.5 | -1e308 | status.position_mm",
        "413.5 | 1000000.1 | status.position_mm",
        "413.5 | \"413.5\" | status.position_mm",
        "413.5 | null | status.position_mm",
        "\"homed\":true | \"homed\":1 | status.homed",
        "\"homed\":true | \"homed\":null | status.homed",
        "\"saw\":\"guard-down\" | \"saw\":\"IDLE\" | status.saw",
        "\"saw\":\"guard-down\" | \"saw\":1 | status.saw",
        "\"fault_code\":4 | \"fault_code\":2147483648 | status.fault_code",
        "\"fault_text\":\"Low air pressure\" | \"fault_text\":4 | status.fault_text",
        "\"seq\":17 | \"seq\":-17 | status.last_cut.seq",
        "2027-03-01T09:15:02.117Z | yesterday | status.last_cut.at",
        "2027-03-01T09:15:02.117Z | +999999999-01-01T00:00:00Z | status.last_cut.at",
        "2440.5 | -1 | status.panel.stick_length_mm",
        "\"rejected\":1 | \"rejected\":-1 | status.panel.rejected",
        "\"paused\":true | \"paused\":\"yes\" | status.panel.paused",
      })
  void wrongFieldIsNamed(String good, String bad, String field) {
    String text = with(good.strip(), bad);

    assertThatThrownBy(() -> status(text))
        .isInstanceOf(MalformedMessageException.class)
        .hasMessageStartingWith(field + ":");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        " ",
        "null",
        "[]",
        "17",
        "\"x\"",
        "{",
        "{}{}",
        "{\"boot\":\"a\",\"boot\":\"b\"}",
        "{'boot':'a'}",
        "{\"boot\":NaN}",
        "{\"boot\":01}",
      })
  void whatIsNoJsonObjectIsRefused(String payload) {
    assertThatThrownBy(() -> status(payload)).isInstanceOf(MalformedMessageException.class);
  }

  @Test
  void boundsHoldBeforeAnythingIsRead() {
    assertThatThrownBy(() -> status("{\"x\":\"" + "y".repeat(64 * 1024) + "\"}"))
        .hasMessageContaining("expected at most 65536");
    assertThatThrownBy(() -> status("{\"x\":\"" + "y".repeat(9_000) + "\"}"))
        .isInstanceOf(MalformedMessageException.class);
    assertThatThrownBy(() -> status("{\"x\":" + "9".repeat(9_000) + "}"))
        .isInstanceOf(MalformedMessageException.class);
    assertThatThrownBy(() -> status("{\"x\":" + "[".repeat(30_000)))
        .isInstanceOf(MalformedMessageException.class);
  }

  @Test
  void bytesThatAreNoUtf8AreRefused() {
    byte[] payload = STATUS.getBytes(StandardCharsets.UTF_8);
    payload[12] = (byte) 0xC3;
    assertThatThrownBy(() -> DeviceMessages.status(payload))
        .isInstanceOf(MalformedMessageException.class);
  }

  /** Whatever a broken device sends ends in a status or in an error that names what is wrong. */
  @Test
  void damagedStatusNeverFailsOtherwise() {
    long seed = 20270301;
    SplittableRandom random = new SplittableRandom(seed);
    byte[] good = STATUS.getBytes(StandardCharsets.UTF_8);
    int refused = 0;
    for (int round = 0; round < 20_000; round++) {
      byte[] damaged = good.clone();
      for (int i = random.nextInt(1, 4); i > 0; i--) {
        damaged[random.nextInt(damaged.length)] = (byte) random.nextInt(256);
      }
      try {
        DeviceSnapshot read = DeviceMessages.status(damaged);
        assertThat(read.boot()).isNotEmpty();
      } catch (MalformedMessageException e) {
        refused++;
        assertThat(e.getMessage()).as("seed %d round %d", seed, round).isNotEmpty();
        assertThat(e.getMessage().chars().anyMatch(Character::isISOControl)).isFalse();
      }
    }
    assertThat(refused).isPositive();
  }

  @Test
  void wordsOfTheDeviceAreShortAndOnOneLine() throws MalformedMessageException {
    DeviceSnapshot read = status(with("Low air pressure", "line 1\\nline 2 " + "x".repeat(2_000)));

    assertThat(read.faultText()).startsWith("line 1 line 2").hasSize(500);
  }

  @Test
  void cutIsRead() throws MalformedMessageException {
    byte[] payload =
        utf8("{\"boot\":\"b\",\"count\":3,\"seq\":0,\"position_mm\":505.02,\"at\":null}");

    assertThat(DeviceMessages.cut(payload))
        .isEqualTo(new LastCut("b", 3, 0, Length.ofNm(505_020_000), null));
    assertThatThrownBy(() -> DeviceMessages.cut(utf8("{\"boot\":\"b\",\"count\":0}")))
        .hasMessageStartingWith("cut.count:");
  }

  @Test
  void replyIsRead() throws MalformedMessageException {
    assertThat(DeviceMessages.reply(utf8("{\"seq\":17,\"accepted\":true}")))
        .isEqualTo(new LinkEvent.Replied(17, true, null));
    assertThat(DeviceMessages.reply(utf8("{\"seq\":17,\"accepted\":false,\"reason\":\"busy\"}")))
        .isEqualTo(new LinkEvent.Replied(17, false, "busy"));
    assertThatThrownBy(() -> DeviceMessages.reply(utf8("{\"seq\":0,\"accepted\":true}")))
        .hasMessageStartingWith("reply.seq:");
  }

  @Test
  void onlineIsTrueOrFalseAndNothingElse() throws MalformedMessageException {
    assertThat(DeviceMessages.online(utf8("true"))).isTrue();
    assertThat(DeviceMessages.online(utf8("false\n"))).isFalse();
    for (String wrong : new String[] {"", "1", "yes", "true".repeat(99)}) {
      assertThatThrownBy(() -> DeviceMessages.online(utf8(wrong)))
          .isInstanceOf(MalformedMessageException.class);
    }
  }

  @Test
  void hugeExponentsCostNoTime() {
    assertThat(
            assertTimeout(
                Duration.ofSeconds(20),
                () -> {
                  int refused = 0;
                  for (String number : new String[] {"1e999999999", "1E+2147483647", "-1e99999"}) {
                    try {
                      status(with("413.5", number));
                    } catch (MalformedMessageException e) {
                      refused++;
                    }
                  }
                  return refused;
                }))
        .isEqualTo(3);
  }

  private static String with(String good, String bad) {
    assertThat(STATUS).contains(good);
    return STATUS.replace(good, bad);
  }

  private static DeviceSnapshot status(String text) throws MalformedMessageException {
    return DeviceMessages.status(utf8(text));
  }

  private static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
