package org.kerftally.sim.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

class DeviceJsonTest {

  private static final Instant AT = Instant.parse("2027-03-01T09:15:02.117Z");

  @Test
  void statusHoldsEverySignalExactly() {
    LastCut last = new LastCut("b-0", 11, 16, Length.ofNm(396_875), null);
    DeviceSnapshot now =
        snapshot("b-1", last, new OperatorPanel(3, Length.ofMm(2440), 1, 0, null, 2, true));

    assertThat(text(DeviceJson.status(now)))
        .isEqualTo(
            "{\"boot\":\"b-1\",\"count\":12,\"last_cut\":{\"boot\":\"b-0\",\"count\":11,"
                + "\"seq\":16,\"position_mm\":0.396875,\"at\":null},\"active_seq\":17,"
                + "\"position_mm\":505.02,\"target_reached\":true,\"homed\":true,"
                + "\"enabled\":true,\"remote\":true,\"saw\":\"blade-out\",\"fault_code\":0,"
                + "\"fault_text\":\"\",\"panel\":{\"stick_loaded\":3,\"stick_length_mm\":2440,"
                + "\"rejected\":1,\"defects\":0,\"defect_at_mm\":null,\"acknowledged\":2,"
                + "\"paused\":true}}");
  }

  @Test
  void statusWithoutALastCutSaysNull() {
    DeviceSnapshot now = snapshot("b-1", null, OperatorPanel.UNTOUCHED);

    assertThat(text(DeviceJson.status(now))).contains("\"last_cut\":null,");
  }

  @Test
  void replyHasAReasonOnlyWhenItRefuses() {
    assertThat(text(DeviceJson.reply(17, null))).isEqualTo("{\"seq\":17,\"accepted\":true}");
    assertThat(text(DeviceJson.reply(17, "saw busy")))
        .isEqualTo("{\"seq\":17,\"accepted\":false,\"reason\":\"saw busy\"}");
  }

  @Test
  void targetSaysWhichPowerUpItIsMeantFor() {
    String target = "{\"seq\":17,\"position_mm\":505,\"validity_ms\":3000,\"boot\":%s}";

    assertThat(DeviceJson.command(utf8(target.formatted("\"b-1\""))).boot()).isEqualTo("b-1");
    assertThat(DeviceJson.command(utf8(target.formatted("null"))).boot()).isNull();
    assertThatThrownBy(() -> DeviceJson.command(utf8(target.formatted("7"))))
        .hasMessageContaining("target.boot");
  }

  @Test
  void targetIsRead() {
    DeviceJson.Command command =
        DeviceJson.command(
            utf8(
                "{\"seq\":17,\"position_mm\":505.02,\"part\":\"x\",\"later\":[1],"
                    + "\"valid_until\":\"2027-03-01T09:15:02.117Z\",\"validity_ms\":3000}"));

    assertThat(command)
        .isEqualTo(new DeviceJson.Command(17, Length.ofNm(505_020_000), AT, 3000, null));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "[]",
        "{}",
        "{\"seq\":0,\"position_mm\":1,\"validity_ms\":1}",
        "{\"seq\":4294967296,\"position_mm\":1,\"validity_ms\":1}",
        "{\"seq\":1.5,\"position_mm\":1,\"validity_ms\":1}",
        "{\"seq\":1,\"position_mm\":\"1\",\"validity_ms\":1}",
        "{\"seq\":1,\"position_mm\":1e999999999,\"validity_ms\":1}",
        "{\"seq\":1,\"position_mm\":NaN,\"validity_ms\":1}",
        "{\"seq\":1,\"position_mm\":1}",
        "{\"seq\":1,\"position_mm\":1,\"validity_ms\":0}",
        "{\"seq\":1,\"position_mm\":1,\"validity_ms\":1e300}",
        "{\"seq\":1,\"position_mm\":1,\"validity_ms\":1,\"valid_until\":\"soon\"}",
      })
  void targetThatCannotBeBelievedIsRefused(String payload) {
    assertThatThrownBy(() -> DeviceJson.command(utf8(payload)))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void promptIsRead() {
    assertThat(
            DeviceJson.prompt(
                utf8(
                    "{\"kind\":\"LOAD_STICK\",\"text\":\"Load\",\"material\":\"pine\","
                        + "\"length_mm\":2440,\"label\":null}")))
        .isEqualTo(new Prompt(Prompt.Kind.LOAD_STICK, "Load", "pine", Length.ofMm(2440), null));
    assertThatThrownBy(() -> DeviceJson.prompt(utf8("{\"kind\":\"DANCE\"}")))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> DeviceJson.prompt(utf8("{\"kind\":\"CUT\",\"length_mm\":1e99}")))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void everyTotalThatGrewIsOneMessage() {
    DeviceSnapshot before = snapshot("b-1", null, OperatorPanel.UNTOUCHED);
    DeviceSnapshot now =
        snapshot("b-1", null, new OperatorPanel(2, null, 0, 1, Length.ofMm(800), 0, true));

    List<byte[]> presses = PanelPresses.between(before, now, AT);

    assertThat(presses).hasSize(3);
    assertThat(text(presses.get(0)))
        .isEqualTo(
            "{\"boot\":\"b-1\",\"button\":\"stick-loaded\",\"total\":2,\"value_mm\":null,"
                + "\"on\":null,\"at\":\"2027-03-01T09:15:02.117Z\"}");
    assertThat(text(presses.get(1))).contains("\"defect\"").contains("\"value_mm\":800");
    assertThat(text(presses.get(2))).contains("\"pause\"").contains("\"on\":true");
  }

  /** A power-up sets the totals back: that is no press. */
  @Test
  void totalsOfAnotherPowerUpAreNoPresses() {
    DeviceSnapshot before = snapshot("b-1", null, new OperatorPanel(2, null, 1, 1, null, 4, false));
    DeviceSnapshot now = snapshot("b-2", null, OperatorPanel.UNTOUCHED);

    assertThat(PanelPresses.between(before, now, AT)).isEmpty();
  }

  private static DeviceSnapshot snapshot(String boot, LastCut last, OperatorPanel panel) {
    return new DeviceSnapshot(
        boot,
        12,
        last,
        17,
        Length.ofNm(505_020_000),
        true,
        true,
        true,
        true,
        SawState.BLADE_OUT,
        0,
        "",
        panel);
  }

  private static String text(byte[] payload) {
    return new String(payload, StandardCharsets.UTF_8);
  }

  private static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
