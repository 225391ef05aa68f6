package org.kerftally.daemon.cli;

import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.kerftally.daemon.site.Mosquitto;
import org.kerftally.daemon.site.Programs;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** The device contract over MQTT, through a broker that is not ours. */
final class ConformOverMosquittoIT extends ConformContract {

  private static final String PREFIX = "kerftally/v1/saw1/";

  private Programs programs;
  private String url;

  @Override
  DeviceServer serve(SimDevice simulated) throws Exception {
    Mosquitto.require();
    programs = new Programs(temp);
    Mosquitto broker = Mosquitto.open(programs, temp);
    broker.start();
    url = "tcp://127.0.0.1:" + broker.port();
    return new MqttDevice(simulated, url, PREFIX);
  }

  @Override
  String link(DeviceServer serving) {
    return "mqtt: { broker: \"" + url + "\" }";
  }

  @Override
  List<String> beyond() {
    return List.of();
  }

  @AfterEach
  void endBroker() throws InterruptedException {
    if (programs != null) {
      programs.close();
    }
  }
}
