package org.kerftally.daemon.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import org.eclipse.paho.mqttv5.client.IMqttMessageListener;
import org.eclipse.paho.mqttv5.client.MqttClient;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.Mosquitto;
import org.kerftally.daemon.site.Programs;

/** The stop of line 2 keeps what {@code src/test/peers/line2.md} says of it. */
@Timeout(300)
final class Line2IT {

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final String TOPICS = "plant/line2/stop/";
  private static final ObjectMapper JSON = new ObjectMapper();

  private record Message(String topic, String text) {}

  @TempDir private Path folder;

  private final List<Message> seen = new CopyOnWriteArrayList<>();
  private Programs programs;
  private Mosquitto broker;
  private NodePeer device;
  private MqttClient client;

  @BeforeEach
  void start() throws Exception {
    NodePeer.require();
    Mosquitto.require();
    programs = new Programs(folder);
    broker = Mosquitto.open(programs, folder);
    broker.start();
    device = NodePeer.line2(folder, broker.port(), "--speed", "20");
    client =
        new MqttClient("tcp://127.0.0.1:" + broker.port(), "line2-it", new MemoryPersistence());
    client.connect();
    client.subscribe(
        new MqttSubscription[] {new MqttSubscription(TOPICS + "#", 1)},
        new IMqttMessageListener[] {
          (topic, message) ->
              seen.add(
                  new Message(
                      topic.substring(TOPICS.length()),
                      new String(message.getPayload(), StandardCharsets.UTF_8)))
        });
    await().atMost(PATIENCE).until(() -> state().at("/axis/ref").asInt() == 1);
  }

  @AfterEach
  void end() throws Exception {
    if (client != null) {
      client.disconnectForcibly(0, 0, false);
      client.close(true);
    }
    if (device != null) {
      device.close();
    }
    if (programs != null) {
      programs.close();
    }
  }

  private List<String> on(String topic) {
    return seen.stream().filter(m -> m.topic().equals(topic)).map(Message::text).toList();
  }

  private String latest(String topic) {
    List<String> texts = on(topic);
    return texts.isEmpty() ? "" : texts.get(texts.size() - 1);
  }

  private JsonNode state() throws Exception {
    return JSON.readTree(latest("state").isEmpty() ? "{}" : latest("state"));
  }

  private void command(String text, boolean retained) throws Exception {
    MqttMessage message = new MqttMessage(text.getBytes(StandardCharsets.UTF_8), 1, retained, null);
    client.publish(TOPICS + "cmd", message);
  }

  private static BigDecimal mm(String text) {
    return new BigDecimal(text);
  }

  @Test
  void aTargetIsAnsweredReachedAndCutOnce() throws Exception {
    assertThat(latest("alive")).isEqualTo("1");
    assertThat(state().at("/n/powerups").asInt()).isEqualTo(1);

    command("{\"go\":{\"to\":505020,\"id\":17}}", false);
    await().atMost(PATIENCE).until(() -> state().at("/n/strokes").asInt() == 1);

    assertThat(on("ack")).containsExactly("{\"id\":17,\"code\":0}");
    assertThat(state().at("/axis/id").asInt()).isEqualTo(17);
    assertThat(state().at("/axis/inpos").asInt()).isEqualTo(1);
    assertThat(mm(latest("actual"))).isBetween(mm("505.00"), mm("505.04"));
    assertThat(device.truth())
        .singleElement()
        .satisfies(cut -> assertThat(cut.position()).isBetween(mm("505.00"), mm("505.04")));
  }

  @Test
  void aTargetOutsideTheTravelIsRefusedWithItsCode() throws Exception {
    command("{\"go\":{\"to\":4000001,\"id\":5}}", false);
    await().atMost(PATIENCE).until(() -> !on("ack").isEmpty());

    assertThat(latest("ack")).isEqualTo("{\"id\":5,\"code\":4}");
    assertThat(state().at("/axis/id").asInt()).isZero();
  }

  @Test
  void aRetainedCommandIsNotCarriedOutByADeviceThatIsPoweredUpLater() throws Exception {
    device.kill();
    await().atMost(PATIENCE).until(() -> latest("alive").equals("0"));
    command("{\"go\":{\"to\":505020,\"id\":17}}", true);

    device = NodePeer.line2(folder, broker.port(), "--speed", "20");
    await().atMost(PATIENCE).until(() -> state().at("/n/powerups").asInt() == 2);
    // A key pressed later shows that the device has been through what waited for it.
    await().atMost(PATIENCE).until(() -> state().at("/keys/stick").asInt() > 0);

    assertThat(on("ack")).isEmpty();
    assertThat(state().at("/axis/id").asInt()).isZero();
    assertThat(device.truth()).isEmpty();
  }

  @Test
  void itSaysGoodbyeWhenItIsToldToEnd() throws Exception {
    assertThat(device.end()).isZero();
    await().atMost(PATIENCE).until(() -> latest("alive").equals("0"));
  }

  @Test
  void itEndsWithWhoStartedIt() throws Exception {
    assertThat(device.orphan()).isZero();
  }
}
