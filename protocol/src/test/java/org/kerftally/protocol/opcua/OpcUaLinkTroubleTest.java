package org.kerftally.protocol.opcua;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import org.awaitility.core.ConditionFactory;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.protocol.Witness;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** Holds the OPC UA link to its promises where networks, servers and mappings are not as hoped. */
final class OpcUaLinkTroubleTest {

  private static final Duration PATIENCE = Duration.ofSeconds(40);

  /** For tests in which nothing has to time out: no loaded machine takes as long. */
  private static final Duration LONG = Duration.ofSeconds(20);

  /** For tests in which something has to. */
  private static final Duration SHORT = Duration.ofSeconds(2);

  /** A link without security has no use for certificates: it would fail with this folder. */
  private static final CertificateFolder UNTOUCHED =
      new CertificateFolder(Path.of("/proc/no-such-folder"));

  private final Witness seen = new Witness();
  private final List<Long> activeSequences = new CopyOnWriteArrayList<>();
  private SimDevice device;
  private OpcUaDeviceServer server;
  private StallingProxy proxy;
  private OpcUaLink link;

  @BeforeEach
  void start() throws IOException {
    device =
        SimDevice.open(SimConfig.standard("saw1").withSpeed(40).withOperator(OperatorModel.ABSENT));
    device.onChange(() -> activeSequences.add(device.snapshot().activeSequence()));
    server = new OpcUaDeviceServer(device, 0);
    proxy = new StallingProxy(server.port());
  }

  @AfterEach
  void stop() {
    if (link != null) {
      link.close();
    }
    proxy.close();
    server.close();
    device.close();
  }

  private void open(Map<String, String> nodes, String namespace) {
    open(nodes, namespace, LONG);
  }

  private void open(Map<String, String> nodes, String namespace, Duration timeout) {
    OpcUaLinkConfig config =
        new OpcUaLinkConfig(
            "opc.tcp://127.0.0.1:" + proxy.port(),
            namespace,
            nodes,
            OpcUaLinkConfig.DEFAULT_PUBLISHING,
            timeout);
    link = new OpcUaLink("saw1", config, Length.ofNm(100_000), UNTOUCHED, Clock.systemUTC());
    link.start(seen);
  }

  private void linkUp() {
    linkUp(LONG);
  }

  private void linkUp(Duration timeout) {
    open(Map.of(), OpcUaLinkConfig.DEFAULT_NAMESPACE, timeout);
    patiently().until(() -> seen.isUp() && seen.latest().permitsMove());
  }

  private String downReason() {
    patiently().until(() -> seen.downs() == 1);
    return seen.all(LinkEvent.Down.class).get(0).reason();
  }

  private static ConditionFactory patiently() {
    return await().atMost(PATIENCE).pollInterval(Duration.ofMillis(5));
  }

  private static Target target(long seq, Duration validity) {
    return new Target(seq, Length.ofMm(500), null, "job", Instant.now().plus(validity), validity);
  }

  @Test
  void aTargetWhoseNumberIsBeyond32BitsIsRefusedAndNeverThrown() {
    linkUp();

    assertThat(link.send(target(1L << 32, LONG))).isTrue();

    patiently().until(() -> !seen.all(LinkEvent.Replied.class).isEmpty());
    assertThat(seen.all(LinkEvent.Replied.class))
        .singleElement()
        .satisfies(reply -> assertThat(reply.seq()).isEqualTo(1L << 32))
        .satisfies(reply -> assertThat(reply.accepted()).isFalse())
        .satisfies(reply -> assertThat(reply.reason()).contains("32 bits"));
    assertThat(device.snapshot().activeSequence()).isZero();
    assertThat(seen.isUp()).isTrue();
  }

  @Test
  void aServerThatFallsSilentIsNoticedAndFoundAgain() {
    linkUp(SHORT);
    long before = seen.downs();

    proxy.stall();

    patiently().until(() -> !seen.isUp());
    List<LinkEvent.Down> downs = seen.all(LinkEvent.Down.class);
    assertThat(downs).hasSize((int) before + 1);
    assertThat(downs.get(downs.size() - 1).reason()).contains("did not answer");
    proxy.release();
    patiently().until(seen::isUp);
  }

  @Test
  void aTargetTheNetworkHeldBackMovesNothing() {
    linkUp(SHORT);
    proxy.stall();
    Duration validity = Duration.ofMillis(300);

    assertThat(link.send(target(1, validity))).isTrue();
    patiently().until(() -> !seen.isUp());
    proxy.release();

    patiently().until(seen::isUp);
    assertThat(link.send(target(2, Duration.ofSeconds(20)))).isTrue();
    patiently().until(() -> !seen.repliesTo(2).isEmpty());
    assertThat(seen.repliesTo(2).get(0).accepted()).isTrue();
    patiently().until(() -> device.snapshot().activeSequence() == 2);
    assertThat(activeSequences).doesNotContain(1L);
    assertThat(seen.repliesTo(1)).isEmpty();
  }

  @Test
  void connectionsThatBreakOftenLeaveNoSessionBehind() {
    linkUp();

    for (int breaks = 1; breaks <= 6; breaks++) {
      long ups = breaks + 1L;
      proxy.cut();
      patiently().until(() -> seen.ups() == ups);
      assertThat(seen.downs()).isEqualTo(breaks);
    }

    link.close();
    // What a broken connection left at the server ends with its timeout; what this side holds, now.
    assertThat(Thread.getAllStackTraces().keySet())
        .noneMatch(thread -> thread.getName().equals("kerftally-opcua-saw1"));
  }

  @Test
  void aClosedLinkEndsItsSessionAtTheServer() {
    linkUp();
    assertThat(server.sessions()).isEqualTo(1);

    link.close();

    patiently().until(() -> server.sessions() == 0);
  }

  @Test
  void theNamespaceMayHaveAnotherIndexAfterARestart() {
    linkUp();
    int port = server.port();

    server.close();
    patiently().until(() -> seen.downs() == 1);
    server = new OpcUaDeviceServer(device, port, List.of("urn:example:infeed", "urn:example:dust"));

    patiently().until(() -> seen.ups() == 2);
    assertThat(link.send(target(1, Duration.ofSeconds(20)))).isTrue();
    patiently().until(() -> device.snapshot().activeSequence() == 1);
  }

  @Test
  void mappedNodesAreTakenAsMapped() {
    Map<String, String> nodes = new HashMap<>();
    for (String name : OpcUaLinkConfig.SIGNALS) {
      nodes.put(name, "nsu=urn:kerftally:positioner;s=Positioner." + name);
    }
    open(nodes, "urn:example:not-there");

    patiently().until(() -> seen.ups() == 1 && seen.latest().permitsMove());
    assertThat(link.send(target(1, Duration.ofSeconds(20)))).isTrue();
    patiently().until(() -> device.snapshot().activeSequence() == 1);
  }

  @Test
  void aNamespaceThatIsNotThereIsNamed() {
    open(Map.of(), "urn:example:not-there");

    assertThat(downReason()).contains("urn:example:not-there").contains("link.opcua.signals");
  }

  @Test
  void aMappedNodeThatIsNotThereIsNamedWithItsSignal() {
    open(
        Map.of("CutCount", "nsu=urn:kerftally:positioner;s=Positioner.Cuts"),
        OpcUaLinkConfig.DEFAULT_NAMESPACE);

    assertThat(downReason()).contains("CutCount").contains("Bad_NodeIdUnknown");
  }

  @Test
  void aMappingThatIsNoNodeIdIsNamedWithItsSignal() {
    open(Map.of("CutCount", "the counter"), OpcUaLinkConfig.DEFAULT_NAMESPACE);

    assertThat(downReason()).contains("CutCount").contains("the counter");
  }

  @Test
  void aMethodMappedToAVariableIsNamed() {
    open(
        Map.of("MoveAbsolute", "nsu=urn:kerftally:positioner;s=Positioner.CutCount"),
        OpcUaLinkConfig.DEFAULT_NAMESPACE);

    assertThat(downReason()).contains("MoveAbsolute").contains("no method");
  }

  @Test
  void aSignalOfTheWrongTypeIsNamed() {
    open(
        Map.of("CutCount", "nsu=urn:kerftally:positioner;s=Positioner.FaultText"),
        OpcUaLinkConfig.DEFAULT_NAMESPACE);

    assertThat(downReason()).contains("CutCount").contains("integer");
  }

  @Test
  void anAddressThatIsNoneIsNamed() {
    OpcUaLinkConfig config =
        new OpcUaLinkConfig(
            "http://127.0.0.1:1",
            OpcUaLinkConfig.DEFAULT_NAMESPACE,
            Map.of(),
            OpcUaLinkConfig.DEFAULT_PUBLISHING,
            LONG);
    link = new OpcUaLink("saw1", config, Length.ofNm(100_000), UNTOUCHED, Clock.systemUTC());
    link.start(seen);

    assertThat(downReason()).contains("http://127.0.0.1:1").contains("opc.tcp");
  }
}
