package org.kerftally.protocol.mqtt;

import java.util.UUID;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.kerftally.config.LinkConfig;
import org.kerftally.protocol.LinkContract;
import org.kerftally.protocol.broker.MosquittoBroker;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** Holds the MQTT link to the contract of every link, over a broker that is not ours. */
final class MqttLinkContractIT extends LinkContract {

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
    return MqttRig.config(broker.url(), prefix);
  }
}
