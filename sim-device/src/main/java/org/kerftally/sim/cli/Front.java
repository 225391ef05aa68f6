package org.kerftally.sim.cli;

import org.jspecify.annotations.Nullable;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.BrokerAccess;
import org.kerftally.sim.mqtt.MqttDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;
import org.kerftally.sim.opcua.ServerSecurity;

/** Opens the server of one protocol over a device. */
@FunctionalInterface
interface Front {

  /**
   * Serves the device until the server is closed.
   *
   * @throws RuntimeException when the server cannot be had, with a message for people
   */
  DeviceServer open(SimDevice device);

  /** Returns the front that serves OPC UA on a loopback port, 0 for any that is free. */
  static Front opcUa(int port, @Nullable ServerSecurity security) {
    return device ->
        security == null
            ? new OpcUaDeviceServer(device, port)
            : new OpcUaDeviceServer(device, port, security);
  }

  /** Returns the front that serves MQTT over a broker, on the topics of the device contract. */
  static Front mqtt(BrokerAccess broker) {
    return device ->
        new MqttDevice(device, broker, "kerftally/v1/" + device.config().station() + "/");
  }
}
