package org.kerftally.daemon.cli;

import java.util.UUID;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.kerftally.protocol.broker.MosquittoBroker;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** A whole site over MQTT, through a broker that is not ours. */
final class SiteOverMosquittoIT extends SiteContract {

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
  DeviceServer serve(SimDevice simulated) {
    return new MqttDevice(simulated, broker.url(), prefix);
  }

  @Override
  String link(DeviceServer serving) {
    return "mqtt: { broker: \"" + broker.url() + "\", prefix: \"" + prefix + "\" }";
  }
}
