package org.kerftally.protocol.quality;

import java.time.Clock;
import java.time.Duration;
import java.util.Map;
import java.util.UUID;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.QualityConfig;
import org.kerftally.protocol.LinkContract;
import org.kerftally.protocol.Links;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.protocol.broker.MosquittoBroker;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** Holds an MQTT link that comes from one side and dwells to the contract of every link. */
final class QualityMqttLinkContractIT extends LinkContract {

  private static final Duration KEEP_ALIVE = Duration.ofSeconds(2);
  private static final Duration TIMEOUT = Duration.ofSeconds(4);

  private static MosquittoBroker broker;

  // The broker keeps what it retains from test to test: each has topics of its own.
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
        broker.url(), prefix, Map.of(), null, null, KEEP_ALIVE, TIMEOUT, null);
  }

  @Override
  protected PositionerLink open(Length window, Clock clock) {
    return Links.open(
        QualityStations.station(
            QualityStations.asking(40, 10, QualityConfig.From.ABOVE), Calibration.TRUE, config()),
        siteFolder(),
        clock,
        tap);
  }

  @Override
  protected DeviceSnapshot truth() {
    return DeviceNumbers.seen(device().snapshot());
  }
}
