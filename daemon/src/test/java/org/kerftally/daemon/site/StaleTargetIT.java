package org.kerftally.daemon.site;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.protocol.mqtt.MqttLink;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** What a broker hands to a device that was started anew since the target was decided on. */
final class StaleTargetIT {

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final Duration TIMEOUT = Duration.ofSeconds(5);
  private static final String PREFIX = MqttLinkConfig.defaultPrefix("saw1");

  @TempDir Path temp;
  private final List<LinkEvent> heard = new CopyOnWriteArrayList<>();

  @Test
  void aTargetMeantForAnEarlierPowerUpIsRefusedAndMovesNothing() throws Exception {
    Mosquitto.require();
    SimConfig config = SimConfig.standard("saw1").withSpeed(50).withOperator(OperatorModel.ABSENT);
    try (Programs programs = new Programs(temp)) {
      Mosquitto broker = Mosquitto.open(programs, temp);
      broker.start();
      String url = "tcp://127.0.0.1:" + broker.port();
      MqttLinkConfig over =
          new MqttLinkConfig(url, PREFIX, Map.of(), null, null, TIMEOUT, TIMEOUT, null);
      try (SimDevice device = SimDevice.open(config);
          MqttDevice server = new MqttDevice(device, url, PREFIX);
          MqttLink link =
              new MqttLink(
                  "saw1",
                  over,
                  org.kerftally.shared.length.Length.ofNm(100_000),
                  Clock.systemUTC())) {
        assertThat(server.address()).isNotEmpty();
        link.start(heard::add);
        await().atMost(PATIENCE).until(() -> device.snapshot().homingAttained() && isUp());
        String boot = device.snapshot().boot();

        LinkEvent.Replied stale = answer(link, 1, "an-earlier-one");
        assertThat(stale.accepted()).isFalse();
        assertThat(stale.reason()).contains("another power-up");
        assertThat(device.snapshot().activeSequence()).isZero();

        assertThat(answer(link, 2, boot).accepted()).isTrue();
        assertThat(answer(link, 3, null).accepted()).isTrue();
      }
    }
  }

  private boolean isUp() {
    return heard.stream().anyMatch(LinkEvent.Up.class::isInstance);
  }

  private LinkEvent.Replied answer(MqttLink link, long seq, @Nullable String boot) {
    Instant until = Instant.now().plus(PATIENCE);
    Length position = Length.ofMm(500 + seq);
    Target target = new Target(seq, position, null, "supers", until, PATIENCE, boot);
    assertThat(link.send(target)).isTrue();
    await().atMost(PATIENCE).until(() -> replies(seq).size() == 1);
    return replies(seq).get(0);
  }

  private List<LinkEvent.Replied> replies(long seq) {
    return heard.stream()
        .filter(LinkEvent.Replied.class::isInstance)
        .map(LinkEvent.Replied.class::cast)
        .filter(reply -> reply.seq() == seq)
        .toList();
  }
}
