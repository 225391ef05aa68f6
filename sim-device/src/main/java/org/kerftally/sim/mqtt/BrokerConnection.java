package org.kerftally.sim.mqtt;

import java.io.IOException;
import java.io.InterruptedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;
import java.util.logging.Level;
import java.util.logging.Logger;
import java.util.random.RandomGenerator;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttActionListener;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.SecretPlace;
import org.kerftally.config.tls.TlsLayer;

/**
 * Holds the device's connection to the broker, used once and thrown away. Every call waits a
 * bounded time for the broker's acknowledgement, so that at most one message is on its way; what
 * comes in is handed to the inbox from the library's thread. {@link #reset()} may be called from
 * any thread and ends a call that waits.
 */
final class BrokerConnection {

  static final int KEEP_ALIVE_SECONDS = 5;
  static final int TIMEOUT_SECONDS = 4;

  private static final int QOS = 1;
  private static final int RECEIVE_MAXIMUM = 32;
  private static final long MAX_PACKET_BYTES = 4L * DeviceJson.MAX_PAYLOAD_BYTES;
  private static final int FIRST_FAILURE = 0x80; // OASIS MQTT 5.0, 2.4
  private static final long GOODBYE_MILLIS = 500;

  /**
   * Holds one message that came in.
   *
   * @param expirySeconds what was left of its life when the broker passed it on, or {@code null}
   * @param arrivedNanos the monotonic clock when it came
   */
  @SuppressWarnings("ArrayRecordComponent") // Handed over once, never compared.
  record Incoming(
      BrokerConnection from,
      String topic,
      byte[] payload,
      boolean retained,
      @Nullable Long expirySeconds,
      long arrivedNanos) {}

  // The library logs every broken connection with its stack; the device says it in its own words.
  private static final Logger LIBRARY = Logger.getLogger("org.eclipse.paho");

  static {
    LIBRARY.setLevel(Level.OFF);
  }

  private final ResettableSockets sockets;
  private final BrokerAccess broker;
  private final MqttAsyncClient client;
  private final Consumer<Incoming> inbox;
  private final Consumer<BrokerConnection> lost;

  /** Makes a connection that is not open yet. */
  BrokerConnection(
      BrokerAccess broker,
      RandomGenerator random,
      Consumer<Incoming> inbox,
      Consumer<BrokerConnection> lost)
      throws MqttException {
    String id = "positioner-" + String.format("%012x", random.nextLong() >>> 16);
    this.broker = broker;
    this.sockets =
        new ResettableSockets(
            broker.isSecured() ? new TlsLayer(broker.tls()) : null, broker.host());
    this.client = new MqttAsyncClient(broker.libraryUri(), id, new MemoryPersistence());
    this.inbox = inbox;
    this.lost = lost;
    client.setCallback(new Callback());
  }

  /** Connects with a last will of {@code false} on the topic that says the device is there. */
  void connect(String onlineTopic) throws MqttException {
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setCleanStart(true);
    options.setSessionExpiryInterval(0L);
    options.setAutomaticReconnect(false);
    options.setKeepAliveInterval(KEEP_ALIVE_SECONDS);
    options.setConnectionTimeout(TIMEOUT_SECONDS);
    options.setReceiveMaximum(RECEIVE_MAXIMUM);
    options.setMaximumPacketSize(MAX_PACKET_BYTES);
    options.setSocketFactory(sockets);
    logIn(options);
    options.setWill(
        onlineTopic,
        new MqttMessage("false".getBytes(StandardCharsets.UTF_8), QOS, true, new MqttProperties()));
    await(client.connect(options, null, new Begun()));
  }

  private void logIn(MqttConnectionOptions options) throws MqttException {
    if (broker.user() != null) {
      options.setUserName(broker.user());
    }
    SecretPlace password = broker.password();
    if (password != null) {
      try {
        options.setPassword(password.read().getBytes(StandardCharsets.UTF_8));
      } catch (IOException e) {
        sockets.markBegun();
        throw new MqttException(e);
      }
    }
  }

  /** Subscribes to the topics, but not to what this connection publishes on them. */
  void subscribe(List<String> topics) throws MqttException {
    MqttSubscription[] wanted =
        topics.stream()
            .map(
                topic -> {
                  MqttSubscription subscription = new MqttSubscription(topic, QOS);
                  subscription.setNoLocal(true);
                  return subscription;
                })
            .toArray(MqttSubscription[]::new);
    await(client.subscribe(wanted, null, null, new MqttProperties()));
  }

  /** Publishes and waits until the broker has it. */
  void publish(String topic, byte[] payload, boolean retained) throws MqttException {
    await(client.publish(topic, new MqttMessage(payload, QOS, retained, new MqttProperties())));
  }

  private static void await(IMqttToken token) throws MqttException {
    token.waitForCompletion(TIMEOUT_SECONDS * 1000L);
    int[] codes = token.getReasonCodes();
    if (codes != null) {
      int failure = Arrays.stream(codes).filter(code -> code >= FIRST_FAILURE).findAny().orElse(0);
      if (failure != 0) {
        throw new MqttException(failure);
      }
    }
  }

  /** Takes the connection away without a goodbye. */
  void reset() {
    sockets.reset();
    end(false);
  }

  /** Says goodbye within a bounded time: the broker then publishes no last will. */
  void goodbye() {
    Thread ending = end(true);
    try {
      ending.join(2 * GOODBYE_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    sockets.reset();
  }

  // The library may take long to let go: not on the caller's time. The client is not closed on top:
  // that takes fields away from library threads that are still ending.
  private Thread end(boolean politely) {
    Thread thread =
        new Thread(
            () -> {
              try {
                sockets.awaitBegun();
                client.disconnectForcibly(0, GOODBYE_MILLIS, politely);
              } catch (MqttException | InterruptedIOException e) {
                // It is not used again.
              }
            },
            "sim-mqtt-end");
    thread.setDaemon(true);
    thread.start();
    return thread;
  }

  /** Marks that the library's threads are started, or never will be. */
  private final class Begun implements MqttActionListener {
    @Override
    public void onSuccess(IMqttToken token) {
      sockets.markBegun();
    }

    @Override
    public void onFailure(IMqttToken token, @Nullable Throwable cause) {
      sockets.markBegun();
    }
  }

  private final class Callback implements MqttCallback {
    @Override
    public void messageArrived(String topic, MqttMessage message) {
      MqttProperties properties = message.getProperties();
      Long expiry = properties == null ? null : properties.getMessageExpiryInterval();
      inbox.accept(
          new Incoming(
              BrokerConnection.this,
              topic,
              message.getPayload(),
              message.isRetained(),
              expiry,
              System.nanoTime()));
    }

    @Override
    public void disconnected(@Nullable MqttDisconnectResponse response) {
      lost.accept(BrokerConnection.this);
    }

    @Override
    public void mqttErrorOccurred(MqttException e) {
      lost.accept(BrokerConnection.this);
    }

    @Override
    public void deliveryComplete(IMqttToken token) {}

    @Override
    public void connectComplete(boolean reconnect, String uri) {}

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {}
  }
}
