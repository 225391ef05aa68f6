package org.kerftally.protocol.opcua;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.OpcUaIdentity;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.OpcUaSecurity;
import org.kerftally.config.SecretPlace;
import org.kerftally.protocol.LinkContract;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;
import org.kerftally.sim.opcua.ServerSecurity;

/** Holds the OPC UA link to the contract of every link, signed, encrypted and with a user. */
final class OpcUaSecuredLinkContractTest extends LinkContract {

  /** Long: nothing here has to time out, and a loaded machine takes its time. */
  private static final Duration TIMEOUT = Duration.ofSeconds(20);

  @TempDir private static Path pki;

  private int port;

  private static SecretPlace password() throws IOException {
    return new SecretPlace(Files.writeString(pki.resolve("password"), "acacia honey"), null);
  }

  @Override
  protected DeviceServer serve(SimDevice device) {
    try {
      ServerSecurity security = ServerSecurity.in(pki).withUser("kerftally", password());
      OpcUaDeviceServer server = new OpcUaDeviceServer(device, port, security);
      port = server.port();
      Path trusted = Files.createDirectories(siteFolder().resolve("pki/trusted"));
      byte[] shown = Files.readAllBytes(pki.resolve("own/positioner.der"));
      Files.write(trusted.resolve("positioner.der"), shown);
      return server;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  protected LinkConfig config() {
    try {
      return new OpcUaLinkConfig(
              "opc.tcp://127.0.0.1:" + port,
              OpcUaLinkConfig.DEFAULT_NAMESPACE,
              Map.of(),
              OpcUaLinkConfig.DEFAULT_PUBLISHING,
              TIMEOUT)
          .with(OpcUaSecurity.BEST, new OpcUaIdentity.User("kerftally", password()));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
