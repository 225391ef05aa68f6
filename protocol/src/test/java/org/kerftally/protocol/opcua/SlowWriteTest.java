package org.kerftally.protocol.opcua;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.OpcUaSecurity;
import org.kerftally.config.PlainText;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.MoveConfig.How;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.protocol.Links;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.protocol.Witness;
import org.kerftally.protocol.plc.PlcNamespace;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** A controller that is slow to answer the position is not given the strobe of a void target. */
final class SlowWriteTest {

  private static final Duration PATIENCE = Duration.ofSeconds(60);

  @TempDir private Path folder;

  private final Witness seen = new Witness();
  private final AtomicLong writingMillis = new AtomicLong();
  private SimDevice device;
  private OpcUaDeviceServer server;
  private PositionerLink link;

  @BeforeEach
  void start() {
    MoveConfig move = PlcNamespace.move(How.STROBE, false);
    device =
        SimDevice.open(SimConfig.standard("saw1").withSpeed(40).withOperator(OperatorModel.ABSENT));
    server =
        new OpcUaDeviceServer(device, 0, s -> PlcNamespace.on(s, device, move, writingMillis::get));
    OpcUaLinkConfig config =
        new OpcUaLinkConfig(
            server.address(),
            OpcUaLinkConfig.DEFAULT_NAMESPACE,
            Map.of(),
            OpcUaLinkConfig.DEFAULT_PUBLISHING,
            Duration.ofSeconds(20),
            OpcUaSecurity.NONE,
            null,
            PlainText.REFUSED,
            new WiringConfig(Map.of(), Set.of(StandIn.ACTIVE_SEQUENCE, StandIn.LAST_CUT), move));
    link = Links.open("saw1", config, Length.ofNm(100_000), folder, Clock.systemUTC());
    link.start(seen);
    await().atMost(PATIENCE).until(() -> seen.ups() == 1 && seen.latest().permitsMove());
  }

  @AfterEach
  void stop() {
    link.close();
    server.close();
    device.close();
  }

  private static Target target(long seq, Duration validity) {
    return new Target(
        seq,
        Length.ofMm(500 + seq),
        "super side",
        "comb-honey",
        Instant.now().plus(validity),
        validity);
  }

  @Test
  void aTargetThatBecameVoidWhileItsPositionWasWrittenMovesNothing() {
    writingMillis.set(3_000);

    assertThat(link.send(target(1, Duration.ofMillis(700)))).isTrue();

    await().atMost(PATIENCE).until(() -> seen.downs() == 1);
    writingMillis.set(0);
    await().atMost(PATIENCE).until(() -> seen.ups() == 2 && seen.latest().permitsMove());
    assertThat(link.send(target(2, Duration.ofSeconds(30)))).isTrue();
    await().atMost(PATIENCE).until(() -> !seen.repliesTo(2).isEmpty());

    assertThat(seen.repliesTo(2)).containsExactly(new LinkEvent.Replied(2, true, null));
    assertThat(seen.repliesTo(1)).isEmpty();
    // The controller numbers what it takes: the second target was its first.
    assertThat(device.snapshot().activeSequence()).isEqualTo(1);
    assertThat(device.targetPosition()).isEqualTo(Length.ofMm(502));
  }
}
