package org.kerftally.daemon.cli;

import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** A whole site over OPC UA. */
final class SiteOverOpcUaIT extends SiteContract {

  @Override
  DeviceServer serve(SimDevice simulated) {
    return new OpcUaDeviceServer(simulated, 0);
  }

  @Override
  String link(DeviceServer serving) {
    return "opcua: { endpoint: \"" + serving.address() + "\" }";
  }
}
