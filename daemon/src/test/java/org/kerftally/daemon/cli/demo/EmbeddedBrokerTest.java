package org.kerftally.daemon.cli.demo;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import javax.net.SocketFactory;
import org.awaitility.Awaitility;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttClient;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.protocol.mqtt.MqttLink;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** Holds the demo's broker to what links and devices need of a broker. */
class EmbeddedBrokerTest {

  private static final int PATIENCE_SECONDS = 60;

  private static EmbeddedBroker broker;

  private final List<AutoCloseable> open = new ArrayList<>();

  @BeforeAll
  static void startBroker() {
    broker = EmbeddedBroker.start();
  }

  @AfterAll
  static void stopBroker() {
    broker.close();
    broker.close();
  }

  @AfterEach
  void closeAll() throws Exception {
    for (int i = open.size() - 1; i >= 0; i--) {
      open.get(i).close();
    }
  }

  @Test
  void listensOnTheLoopbackAddressOnly() {
    assertThat(URI.create(broker.url()).getHost()).isEqualTo("127.0.0.1");
    assertThat(URI.create(broker.url()).getPort()).isPositive();
  }

  @Test
  void messageOfQualityOneArrives() throws Exception {
    Client reader = client("a/#");
    client().publish("a/b", "hello", false, null);

    assertThat(reader.next()).isEqualTo("a/b hello");
  }

  @Test
  void retainedMessageIsHandedToWhoComesLater() throws Exception {
    client().publish("r/status", "one", true, null);
    client().publish("r/status", "two", true, null);

    assertThat(client("r/status").next()).isEqualTo("r/status two");
  }

  /** OASIS MQTT 5.0, 3.3.2.3.3: a message past its expiry is not handed on. */
  @Test
  void messagePastItsExpiryIsNotHandedOn() throws Exception {
    Client sender = client();
    sender.publish("e/x", "short-lived", true, 1L);
    sender.publish("e/y", "kept", true, 600L);

    // The retained message is there or gone by what a new subscription is handed.
    Awaitility.await()
        .atMost(Duration.ofSeconds(PATIENCE_SECONDS))
        .pollInterval(Duration.ofMillis(200))
        .until(
            () -> {
              Client late = client("e/#");
              List<String> seen = new ArrayList<>(List.of(late.next()));
              String second = late.messages.poll(500, TimeUnit.MILLISECONDS);
              if (second != null) {
                seen.add(second);
              }
              late.close();
              return seen.equals(List.of("e/y kept"));
            });
  }

  @Test
  void lastWillIsPublishedWhenAConnectionBreaks() throws Exception {
    Client reader = client("w/online");
    RecordingSockets sockets = new RecordingSockets();
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setSocketFactory(sockets);
    options.setWill(
        "w/online",
        new MqttMessage("false".getBytes(StandardCharsets.UTF_8), 1, true, new MqttProperties()));
    Client dying = client(options);
    dying.publish("w/online", "true", true, null);
    assertThat(reader.next()).isEqualTo("w/online true");

    sockets.last.setSoLinger(true, 0);
    sockets.last.close();

    assertThat(reader.next()).isEqualTo("w/online false");
    assertThat(client("w/online").next()).isEqualTo("w/online false");
  }

  @Test
  void linkAndSimulatedDeviceMeetOverIt() throws Exception {
    String prefix = MqttLinkConfig.defaultPrefix("saw1");
    SimDevice device =
        SimDevice.open(SimConfig.standard("saw1").withSpeed(40).withOperator(OperatorModel.ABSENT));
    open.add(device);
    open.add(new MqttDevice(device, broker.url(), prefix));
    MqttLink link =
        new MqttLink(
            "saw1",
            new MqttLinkConfig(
                broker.url(),
                prefix,
                Map.of(),
                null,
                null,
                MqttLinkConfig.DEFAULT_KEEP_ALIVE,
                Duration.ofSeconds(10),
                null),
            org.kerftally.shared.length.Length.ofNm(100_000),
            Clock.systemUTC());
    open.add(link);
    BlockingQueue<LinkEvent> events = new LinkedBlockingQueue<>();
    link.start(events::add);

    await(events, LinkEvent.Up.class);
    Awaitility.await()
        .atMost(Duration.ofSeconds(PATIENCE_SECONDS))
        .until(() -> device.snapshot().permitsMove());
    Duration validity = Duration.ofSeconds(30);
    Target target =
        new Target(
            1,
            Length.ofMm(505),
            "super side",
            "comb-honey",
            Instant.now().plus(validity),
            validity);
    assertThat(link.send(target)).isTrue();
    assertThat(await(events, LinkEvent.Replied.class))
        .isEqualTo(new LinkEvent.Replied(1, true, null));
    Awaitility.await()
        .atMost(Duration.ofSeconds(PATIENCE_SECONDS))
        .until(() -> device.snapshot().targetReached());
    assertThat(device.stroke()).isTrue();
    assertThat(await(events, LinkEvent.CutReported.class).cut().seq()).isEqualTo(1);
  }

  @Test
  void closedBrokerTakesNoConnection() {
    EmbeddedBroker other = EmbeddedBroker.start();
    String url = other.url();
    other.close();

    assertThatThrownBy(
            () -> {
              try (Socket socket = new Socket()) {
                socket.connect(
                    new InetSocketAddress(
                        InetAddress.getLoopbackAddress(), URI.create(url).getPort()),
                    2000);
              }
            })
        .isInstanceOf(IOException.class);
  }

  private static <T extends LinkEvent> T await(BlockingQueue<LinkEvent> events, Class<T> kind)
      throws InterruptedException {
    while (true) {
      LinkEvent event = events.poll(PATIENCE_SECONDS, TimeUnit.SECONDS);
      assertThat(event).as("no %s came", kind.getSimpleName()).isNotNull();
      if (kind.isInstance(event)) {
        return kind.cast(event);
      }
    }
  }

  private Client client(String... topics) throws MqttException {
    Client client = client(new MqttConnectionOptions());
    for (String topic : topics) {
      client.client.subscribe(topic, 1);
    }
    return client;
  }

  private Client client(MqttConnectionOptions options) throws MqttException {
    Client client = new Client(options);
    open.add(client);
    return client;
  }

  /** A Paho client that keeps what it receives. */
  private static final class Client implements MqttCallback, AutoCloseable {
    private final BlockingQueue<String> messages = new LinkedBlockingQueue<>();
    private final MqttClient client;

    Client(MqttConnectionOptions options) throws MqttException {
      client = new MqttClient(broker.url(), "test-" + UUID.randomUUID(), new MemoryPersistence());
      client.setTimeToWait(TimeUnit.SECONDS.toMillis(PATIENCE_SECONDS));
      client.setCallback(this);
      options.setCleanStart(true);
      options.setConnectionTimeout(PATIENCE_SECONDS);
      client.connect(options);
    }

    void publish(String topic, String text, boolean retained, Long expirySeconds)
        throws MqttException {
      MqttProperties properties = new MqttProperties();
      properties.setMessageExpiryInterval(expirySeconds);
      client.publish(
          topic, new MqttMessage(text.getBytes(StandardCharsets.UTF_8), 1, retained, properties));
    }

    String next() throws InterruptedException {
      String message = messages.poll(PATIENCE_SECONDS, TimeUnit.SECONDS);
      assertThat(message).as("a message").isNotNull();
      return message;
    }

    @Override
    public void close() throws MqttException {
      client.disconnectForcibly(0, 500);
      client.close(true);
    }

    @Override
    public void messageArrived(String topic, MqttMessage message) {
      messages.add(topic + " " + new String(message.getPayload(), StandardCharsets.UTF_8));
    }

    @Override
    public void disconnected(MqttDisconnectResponse response) {}

    @Override
    public void mqttErrorOccurred(MqttException e) {}

    @Override
    public void deliveryComplete(IMqttToken token) {}

    @Override
    public void connectComplete(boolean reconnect, String uri) {}

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {}
  }

  /** Hands out the socket of a connection, so that a test can break it. */
  private static final class RecordingSockets extends SocketFactory {
    private Socket last;

    @Override
    public Socket createSocket() {
      last = new Socket();
      return last;
    }

    @Override
    public Socket createSocket(String host, int port) {
      throw new UnsupportedOperationException();
    }

    @Override
    public Socket createSocket(String host, int port, InetAddress local, int localPort) {
      throw new UnsupportedOperationException();
    }

    @Override
    public Socket createSocket(InetAddress host, int port) {
      throw new UnsupportedOperationException();
    }

    @Override
    public Socket createSocket(InetAddress host, int port, InetAddress local, int localPort) {
      throw new UnsupportedOperationException();
    }
  }
}
