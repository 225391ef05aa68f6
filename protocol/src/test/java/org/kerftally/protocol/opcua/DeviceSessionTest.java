package org.kerftally.protocol.opcua;

import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.lang.management.ManagementFactory;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import javax.management.JMException;
import javax.management.ObjectName;
import org.eclipse.milo.opcua.stack.core.types.structured.EndpointDescription;
import org.junit.jupiter.api.Test;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** What becomes of sessions that never came about. */
final class DeviceSessionTest {

  private static final Duration SHORT = Duration.ofMillis(500);
  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final int ATTEMPTS = 3;

  private static OpcUaLinkConfig config(int port) {
    return new OpcUaLinkConfig(
        "opc.tcp://127.0.0.1:" + port,
        OpcUaLinkConfig.DEFAULT_NAMESPACE,
        Map.of(),
        OpcUaLinkConfig.DEFAULT_PUBLISHING,
        PATIENCE);
  }

  /** Counts the transports that something still holds on to, after all garbage is gone. */
  private static long transportsHeld() throws JMException {
    Object histogram =
        ManagementFactory.getPlatformMBeanServer()
            .invoke(
                new ObjectName("com.sun.management:type=DiagnosticCommand"),
                "gcClassHistogram",
                new Object[] {new String[0]},
                new String[] {String[].class.getName()});
    return histogram
        .toString()
        .lines()
        .map(line -> line.strip().split("\\s+", -1))
        .filter(cells -> cells.length >= 4 && cells[3].equals(LiveTransport.class.getName()))
        .mapToLong(cells -> Long.parseLong(cells[1]))
        .sum();
  }

  @Test
  void anAttemptThatNobodyAnswersLeavesNothingBehind() throws Exception {
    LinkSecurity none =
        new LinkSecurity(
            config(1),
            new CertificateFolder(Path.of("/proc/no-such-folder")),
            LinkSecurity.CHANNEL_LIFETIME);
    SimConfig unattended = SimConfig.standard("saw1").withOperator(OperatorModel.ABSENT);
    try (SimDevice device = SimDevice.open(unattended);
        OpcUaDeviceServer server = new OpcUaDeviceServer(device, 0);
        StallingProxy proxy = new StallingProxy(server.port())) {
      OpcUaLinkConfig config = config(proxy.port());
      EndpointDescription known = new Endpoints(config, none).endpoint();
      await().atMost(PATIENCE).until(() -> transportsHeld() == 0);

      proxy.stall();
      OpcUaLinkConfig hasty =
          new OpcUaLinkConfig(
              config.endpoint(), config.namespace(), Map.of(), config.publishing(), SHORT);
      for (int i = 0; i < ATTEMPTS; i++) {
        assertThatThrownBy(() -> DeviceSession.open("saw1", hasty, none, known, () -> {}))
            .isInstanceOf(LinkFault.class);
      }
      proxy.close();

      await("nothing is held for them")
          .atMost(PATIENCE)
          .pollInterval(Duration.ofMillis(500))
          .until(() -> transportsHeld() == 0);
    }
  }
}
