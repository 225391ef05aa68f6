package org.kerftally.protocol.opcua;

import java.time.Duration;
import java.util.Map;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.protocol.LinkContract;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** Holds the OPC UA link to the contract of every link. */
final class OpcUaLinkContractTest extends LinkContract {

  /** Long: nothing here has to time out, and a loaded machine takes its time. */
  private static final Duration TIMEOUT = Duration.ofSeconds(20);

  private int port;

  @Override
  protected DeviceServer serve(SimDevice device) {
    OpcUaDeviceServer server = new OpcUaDeviceServer(device, port);
    port = server.port();
    return server;
  }

  @Override
  protected LinkConfig config() {
    return new OpcUaLinkConfig(
        "opc.tcp://127.0.0.1:" + port,
        OpcUaLinkConfig.DEFAULT_NAMESPACE,
        Map.of(),
        OpcUaLinkConfig.DEFAULT_PUBLISHING,
        TIMEOUT);
  }
}
