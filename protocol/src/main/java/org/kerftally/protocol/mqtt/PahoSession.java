package org.kerftally.protocol.mqtt;

import java.io.EOFException;
import java.io.IOException;
import java.io.InterruptedIOException;
import java.net.UnknownHostException;
import java.util.List;
import java.util.function.Consumer;
import java.util.logging.Level;
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
import org.kerftally.config.tls.TlsLayer;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.LinkTap.Way;
import org.kerftally.protocol.mqtt.LinkInput.Arrived;
import org.kerftally.protocol.mqtt.LinkInput.Connected;
import org.kerftally.protocol.mqtt.LinkInput.Delivered;
import org.kerftally.protocol.mqtt.LinkInput.Lost;
import org.kerftally.protocol.mqtt.LinkInput.Subscribed;
import org.kerftally.protocol.mqtt.LinkInput.Undeliverable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Speaks MQTT 5 through one Paho client that is never used twice.
 *
 * <p>The library's own reconnecting is off: it does not cover the first connect, comes back without
 * subscriptions and may hold messages of before. Its callbacks only put an input into the inbox,
 * which never blocks; nothing of the library is called from within them. Dropping a session resets
 * its sockets at once on the caller's thread, and leaves the library's slow tidying to a thread of
 * {@link Disposal}.
 */
final class PahoSession implements BrokerSession {

  private static final Logger LOG = LoggerFactory.getLogger(PahoSession.class);

  private static final int QOS = 1;
  private static final int RECEIVE_MAXIMUM = 64;
  // Above the contract's bound, so that a message somewhat too long is named instead of missed; a
  // broker throws longer ones away (OASIS MQTT 5.0, 3.1.2.11.4).
  private static final long MAX_PACKET_BYTES = 4L * MessageFields.MAX_PAYLOAD_BYTES;
  private static final long LEAVE_MILLIS = 500;

  // OASIS MQTT 5.0, 2.4: reason codes.
  private static final int NO_MATCHING_SUBSCRIBERS = 0x10;
  private static final int FIRST_FAILURE = 0x80;
  private static final int BAD_USER_OR_PASSWORD = 0x86;
  private static final int NOT_AUTHORIZED = 0x87;

  // The library logs every broken connection with its stack; the link says it in its own words.
  private static final java.util.logging.Logger LIBRARY =
      java.util.logging.Logger.getLogger("org.eclipse.paho");

  static {
    LIBRARY.setLevel(Level.OFF);
  }

  /** What every session of one link has in common. */
  record Settings(
      BrokerAddress broker,
      String clientId,
      BrokerLogin login,
      @Nullable TlsLayer tls,
      int keepAliveSeconds,
      int timeoutSeconds,
      LinkTap tap) {}

  private final int generation;
  private final Settings settings;
  private final Consumer<LinkInput> inbox;
  private final Disposal disposal;
  private final LinkSockets sockets;
  private @Nullable MqttAsyncClient client;

  PahoSession(int generation, Settings settings, Consumer<LinkInput> inbox, Disposal disposal) {
    this.generation = generation;
    this.settings = settings;
    this.inbox = inbox;
    this.disposal = disposal;
    this.sockets = new LinkSockets(settings.tls(), settings.broker().certificateHost());
  }

  @Override
  public void connect() {
    try {
      MqttConnectionOptions options = options();
      MqttAsyncClient made =
          new MqttAsyncClient(
              settings.broker().libraryUri(), settings.clientId(), new MemoryPersistence());
      client = made;
      tell(Way.TO_DEVICE, "connect", settings.broker().uri(), "as " + settings.clientId());
      made.setCallback(new Callback());
      made.connect(
          options,
          null,
          new Outcome() {
            @Override
            public void onSuccess(IMqttToken token) {
              tell(Way.FROM_DEVICE, "connected", settings.broker().uri(), "");
              inbox.accept(new Connected(generation));
            }

            @Override
            public void onFailure(IMqttToken token, @Nullable Throwable cause) {
              sockets.beginning().mark();
              super.onFailure(token, cause);
            }
          });
    } catch (MqttException e) {
      lost(e);
    } catch (IOException e) {
      lost(String.valueOf(e.getMessage()));
    }
  }

  private MqttConnectionOptions options() throws IOException {
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setCleanStart(true);
    options.setSessionExpiryInterval(0L);
    options.setAutomaticReconnect(false);
    options.setKeepAliveInterval(settings.keepAliveSeconds());
    options.setConnectionTimeout(settings.timeoutSeconds());
    options.setReceiveMaximum(RECEIVE_MAXIMUM);
    options.setMaximumPacketSize(MAX_PACKET_BYTES);
    options.setSocketFactory(sockets);
    String user = settings.login().user();
    if (user != null) {
      options.setUserName(user);
    }
    byte[] password = settings.login().password();
    if (password != null) {
      options.setPassword(password);
    }
    return options;
  }

  @Override
  public void subscribe(List<String> topics) {
    MqttSubscription[] wanted =
        topics.stream().map(t -> new MqttSubscription(t, QOS)).toArray(MqttSubscription[]::new);
    tell(Way.TO_DEVICE, "subscribe", String.join(" ", topics), "");
    try {
      made()
          .subscribe(
              wanted,
              null,
              new Outcome() {
                @Override
                public void onSuccess(IMqttToken token) {
                  inbox.accept(granted(topics, token.getReasonCodes()));
                }
              },
              new MqttProperties());
    } catch (MqttException e) {
      lost(e);
    }
  }

  private LinkInput granted(List<String> topics, int @Nullable [] codes) {
    for (int i = 0; codes != null && i < codes.length; i++) {
      if (codes[i] >= FIRST_FAILURE) {
        String topic = i < topics.size() ? topics.get(i) : "?";
        return new Lost(
            generation, "the broker refused the subscription to " + topic + ": " + named(codes[i]));
      }
    }
    return new Subscribed(generation);
  }

  @Override
  public void publish(String topic, byte[] payload, long expirySeconds, long ticket) {
    settings.tap().bytes(Way.TO_DEVICE, "publish", topic, payload);
    MqttProperties properties = new MqttProperties();
    properties.setMessageExpiryInterval(expirySeconds);
    try {
      made()
          .publish(
              topic,
              new MqttMessage(payload, QOS, false, properties),
              null,
              new Outcome() {
                @Override
                public void onSuccess(IMqttToken token) {
                  inbox.accept(published(topic, ticket, token.getReasonCodes()));
                }
              });
    } catch (MqttException e) {
      lost(e);
    }
  }

  private LinkInput published(String topic, long ticket, int @Nullable [] codes) {
    int code = codes == null || codes.length == 0 ? 0 : codes[0];
    tell(Way.FROM_DEVICE, "puback", topic, named(code));
    if (code == NO_MATCHING_SUBSCRIBERS) {
      return new Undeliverable(generation, ticket, "no device listens on " + topic);
    }
    if (code >= FIRST_FAILURE) {
      return new Undeliverable(
          generation, ticket, "the broker refused a message to " + topic + ": " + named(code));
    }
    return new Delivered(generation, ticket);
  }

  @Override
  public void abandon() {
    sockets.drop();
    MqttAsyncClient dropped = client;
    client = null;
    if (dropped != null) {
      var unused = disposal.start("mqtt-drop-" + generation, () -> end(dropped, false));
    }
  }

  @Override
  public void leave() {
    MqttAsyncClient left = client;
    client = null;
    if (left == null) {
      return;
    }
    Thread ending = disposal.start("mqtt-leave-" + generation, () -> end(left, true));
    try {
      ending.join(2 * LEAVE_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    sockets.drop();
  }

  // Not closed on top: that takes fields away from library threads that are still ending, and a
  // disconnected client holds nothing but memory.
  private void end(MqttAsyncClient client, boolean politely) {
    try {
      sockets.beginning().await();
      client.disconnectForcibly(0, LEAVE_MILLIS, politely);
    } catch (MqttException | InterruptedIOException e) {
      LOG.debug("a dropped connection did not end tidily: {}", e.getMessage());
    }
  }

  private MqttAsyncClient made() throws MqttException {
    if (client == null) {
      throw new MqttException(MqttException.REASON_CODE_CLIENT_EXCEPTION);
    }
    return client;
  }

  private void lost(Throwable cause) {
    lost(told(cause));
  }

  private void lost(String reason) {
    tell(Way.FROM_DEVICE, "lost", settings.broker().uri(), reason);
    inbox.accept(new Lost(generation, reason));
  }

  private void tell(Way way, String what, String place, String value) {
    settings.tap().text(way, what, place, value);
  }

  private String told(Throwable cause) {
    String where = "broker " + settings.broker().uri() + ": ";
    String ofTls = settings.tls() == null ? null : settings.tls().explain(cause);
    if (ofTls != null) {
      return where + ofTls;
    }
    Throwable root = cause;
    while (root.getCause() != null && root.getCause() != root) {
      root = root.getCause();
    }
    if (root instanceof MqttException e) {
      return where + named(e.getReasonCode()) + " (" + e.getMessage() + ")" + mend(e);
    }
    if (root instanceof UnknownHostException) {
      return where + "its host is not known; check the name";
    }
    if (settings.tls() == null && root instanceof EOFException) {
      return where + "ended the connection at once; if it wants TLS, write ssl:// with its port";
    }
    return where + (root.getMessage() == null ? root.toString() : root.getMessage());
  }

  private String mend(MqttException e) {
    int code = e.getReasonCode();
    boolean ofLogin = code == BAD_USER_OR_PASSWORD || code == NOT_AUTHORIZED;
    return ofLogin ? settings.login().mend() : "";
  }

  private static String named(int reasonCode) {
    return switch (reasonCode) {
      case 0 -> "success";
      case BAD_USER_OR_PASSWORD -> "bad user or password";
      case NOT_AUTHORIZED -> "not authorized";
      default -> "reason code " + reasonCode;
    };
  }

  /** Tells a failure as a loss: whatever failed, the session is not to be trusted further. */
  private abstract class Outcome implements MqttActionListener {
    @Override
    public void onFailure(IMqttToken token, @Nullable Throwable cause) {
      lost(cause == null ? new IOException("the request failed") : cause);
    }
  }

  private final class Callback implements MqttCallback {
    @Override
    public void messageArrived(String topic, MqttMessage message) {
      String what = message.isRetained() ? "retained" : "message";
      settings.tap().bytes(Way.FROM_DEVICE, what, topic, message.getPayload());
      inbox.accept(new Arrived(generation, topic, message.getPayload(), message.isRetained()));
    }

    @Override
    public void disconnected(@Nullable MqttDisconnectResponse response) {
      Throwable cause = response == null ? null : response.getException();
      if (cause != null) {
        lost(cause);
      } else {
        int code = response == null ? 0 : response.getReturnCode();
        lost("the broker ended the connection: " + named(code));
      }
    }

    @Override
    public void mqttErrorOccurred(MqttException e) {
      lost(e);
    }

    @Override
    public void deliveryComplete(IMqttToken token) {}

    @Override
    public void connectComplete(boolean reconnect, String uri) {}

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {}
  }
}
