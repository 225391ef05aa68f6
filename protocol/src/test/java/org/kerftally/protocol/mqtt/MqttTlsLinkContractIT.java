package org.kerftally.protocol.mqtt;

import java.io.IOException;
import java.nio.file.Path;
import java.util.UUID;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.LinkConfig;
import org.kerftally.protocol.LinkContract;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** Holds the MQTT link to the contract of every link over TLS, both sides with certificates. */
final class MqttTlsLinkContractIT extends LinkContract {

  private static TlsRig rig;

  private final String prefix = "test/" + UUID.randomUUID() + "/";

  @BeforeAll
  static void startBroker(@TempDir Path folder) throws IOException {
    rig = TlsRig.start(folder);
  }

  @AfterAll
  static void stopBroker() {
    if (rig != null) {
      rig.close();
    }
  }

  @Override
  protected DeviceServer serve(SimDevice device) {
    return new MqttDevice(device, rig.access(), prefix);
  }

  @Override
  protected LinkConfig config() {
    return rig.config(prefix);
  }
}
