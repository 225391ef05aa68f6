package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Clock;
import java.time.Duration;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import java.util.UUID;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.MqttTlsConfig;
import org.kerftally.config.PlainText;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.protocol.LinkContract;
import org.kerftally.protocol.broker.MosquittoBroker;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/**
 * Holds a link that knows its device by a signal map alone, and hands targets over in a message of
 * its own shape, to the contract of every link.
 */
final class MqttMessageLinkContractIT extends LinkContract {

  private static MosquittoBroker broker;

  private final String prefix = "test/" + UUID.randomUUID() + "/";

  @BeforeAll
  static void startBroker() {
    broker = MosquittoBroker.start();
  }

  @AfterAll
  static void stopBroker() {
    if (broker != null) {
      broker.close();
    }
  }

  @Override
  protected DeviceServer serve(SimDevice device) {
    return new MqttDevice(device, broker.url(), prefix);
  }

  @Override
  protected LinkConfig config() {
    return new MqttLinkConfig(
        broker.url(),
        prefix,
        Map.of(),
        null,
        null,
        Duration.ofSeconds(2),
        MqttRig.TIMEOUT,
        null,
        MqttTlsConfig.USUAL,
        PlainText.REFUSED,
        new WiringConfig(signals(), Set.of(), move()));
  }

  private Map<Signal, PointConfig> signals() {
    Map<Signal, PointConfig> map = new EnumMap<>(Signal.class);
    map.put(Signal.BOOT_ID, status("/boot"));
    map.put(Signal.CUT_COUNT, status("/count"));
    map.put(Signal.LAST_CUT_BOOT, status("/last_cut/boot"));
    map.put(Signal.LAST_CUT_COUNT, status("/last_cut/count"));
    map.put(Signal.LAST_CUT_SEQUENCE, status("/last_cut/seq"));
    map.put(Signal.LAST_CUT_POSITION, status("/last_cut/position_mm"));
    map.put(Signal.LAST_CUT_TIME, status("/last_cut/at"));
    map.put(Signal.ACTIVE_SEQUENCE, status("/active_seq"));
    map.put(Signal.POSITION_ACTUAL_VALUE, status("/position_mm"));
    map.put(Signal.TARGET_REACHED, status("/target_reached"));
    map.put(Signal.HOMING_ATTAINED, status("/homed"));
    map.put(Signal.ENABLED, status("/enabled"));
    map.put(Signal.REMOTE_ALLOWED, status("/remote"));
    map.put(
        Signal.SAW_STATE,
        new PointConfig(
            new Place.Topic(prefix + "status", "/saw"),
            null,
            null,
            null,
            false,
            Map.of("idle", "idle", "guard-down", "guard-down", "blade-out", "blade-out"),
            null,
            false,
            null,
            null));
    map.put(Signal.FAULT_CODE, status("/fault_code"));
    map.put(Signal.FAULT_TEXT, status("/fault_text"));
    map.put(Signal.STICK_LOADED_COUNT, status("/panel/stick_loaded"));
    map.put(Signal.STICK_LENGTH, status("/panel/stick_length_mm"));
    map.put(Signal.REJECT_COUNT, status("/panel/rejected"));
    map.put(Signal.DEFECT_COUNT, status("/panel/defects"));
    map.put(Signal.DEFECT_POSITION, status("/panel/defect_at_mm"));
    map.put(Signal.ACKNOWLEDGE_COUNT, status("/panel/acknowledged"));
    map.put(Signal.PAUSED, status("/panel/paused"));
    map.put(Signal.ONLINE, at("online", null, null));
    return map;
  }

  private MoveConfig move() {
    Map<String, PointConfig> points = new LinkedHashMap<>();
    points.put(
        "command",
        at(
            "target",
            null,
            "{\"validity_ms\":20000,\"position_mm\":{position},\"seq\":{sequence}}"));
    points.put("answer", at("reply", "/seq", null));
    points.put("accepted", at("reply", "/accepted", null));
    points.put("reason", at("reply", "/reason", null));
    return new MoveConfig(MoveConfig.How.MESSAGE, points, false);
  }

  private PointConfig status(String pointer) {
    return at("status", pointer, null);
  }

  private PointConfig at(String topic, @Nullable String pointer, @Nullable String template) {
    return new PointConfig(
        new Place.Topic(prefix + topic, pointer),
        null,
        null,
        null,
        false,
        Map.of(),
        null,
        false,
        null,
        template);
  }

  @Test
  void aDeviceThatHasMadeNoCutYetHasNothingToMend() throws Exception {
    try (MqttProbe probe =
        MqttProbe.open((MqttLinkConfig) config(), Length.ofNm(100_000), Clock.systemUTC())) {
      assertThat(probe.read()).extracting(SignalReading::fault).containsOnlyNulls();
      assertThat(probe.faults()).isEmpty();
    }
  }
}
