package org.kerftally.daemon.cli;

import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.Mosquitto;
import org.kerftally.daemon.site.Programs;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** Moves from one side over MQTT, through a broker that is not ours. */
final class ApproachOverMqttIT extends ApproachContract {

  @TempDir private static Path folder;
  private static int topics;
  private static Programs programs;
  private static String broker;

  // The broker keeps what it retains from test to test: each has topics of its own.
  private final String prefix = "test/" + topics++ + "/";

  @BeforeAll
  static void startBroker() throws IOException {
    Mosquitto.require();
    programs = new Programs(folder);
    Mosquitto mosquitto = Mosquitto.open(programs, folder);
    mosquitto.start();
    broker = "tcp://127.0.0.1:" + mosquitto.port();
  }

  @AfterAll
  static void stopBroker() throws InterruptedException {
    if (programs != null) {
      programs.close();
    }
  }

  @Override
  DeviceServer serve(SimDevice simulated) {
    return new MqttDevice(simulated, broker, prefix);
  }

  @Override
  String link(DeviceServer serving) {
    return "mqtt: { broker: \"" + broker + "\", prefix: \"" + prefix + "\" }";
  }
}
