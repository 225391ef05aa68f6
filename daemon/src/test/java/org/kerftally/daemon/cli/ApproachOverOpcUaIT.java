package org.kerftally.daemon.cli;

import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** Moves from one side over OPC UA. */
final class ApproachOverOpcUaIT extends ApproachContract {

  @Override
  DeviceServer serve(SimDevice simulated) {
    return new OpcUaDeviceServer(simulated, 0);
  }

  @Override
  String link(DeviceServer serving) {
    return "opcua: { endpoint: \"" + serving.address() + "\" }";
  }
}
