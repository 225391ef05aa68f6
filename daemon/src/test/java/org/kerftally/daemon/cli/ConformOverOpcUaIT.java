package org.kerftally.daemon.cli;

import java.util.List;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** The device contract over OPC UA. */
final class ConformOverOpcUaIT extends ConformContract {

  @Override
  DeviceServer serve(SimDevice simulated) {
    return new OpcUaDeviceServer(simulated, 0);
  }

  @Override
  String link(DeviceServer serving) {
    return "opcua: { endpoint: \"" + serving.address() + "\" }";
  }

  @Override
  List<String> beyond() {
    return List.of("expired", "other-boot");
  }
}
