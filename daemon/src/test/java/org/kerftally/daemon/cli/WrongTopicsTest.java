package org.kerftally.daemon.cli;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyStore;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import javax.net.ssl.KeyManagerFactory;
import javax.net.ssl.SSLContext;
import org.eclipse.paho.mqttv5.client.MqttClient;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.kerftally.config.tls.Fingerprint;
import org.kerftally.daemon.cli.demo.EmbeddedBroker;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.protocol.broker.Authority;

/**
 * Writes each entry of a station over MQTT wrong once, and holds the text that names signal, topic
 * and mend. The device is a few retained messages: nothing of the project publishes them.
 */
final class WrongTopicsTest {

  /** What the device publishes, retained. */
  private static final Map<String, String> PUBLISHED =
      Map.of(
          "hall/state",
              "{\"pos\":505.5,\"name\":\"frame saw\",\"saw\":\"REST\",\"here\":true,"
                  + "\"axis\":{\"load\":3}}",
          "hall/cuts", "12",
          "hall/acks", "0",
          "hall/sticks", "3",
          "hall/word", "twelve");

  private static final Map<String, String> RIGHT =
      Map.of(
          "PositionActualValue", "{ topic: hall/state, pointer: /pos }",
          "SawState", "{ topic: hall/state, pointer: /saw, values: { REST: idle } }",
          "CutCount", "{ topic: hall/cuts }",
          "AcknowledgeCount", "{ topic: hall/acks }",
          "StickLoadedCount", "{ topic: hall/sticks }",
          "Online", "{ topic: hall/state, pointer: /here }");

  private static final String LACKS =
      "lacks: { BootId: connection, LastCut: watched, ActiveSequence: remembered, TargetReached:"
          + " by-position, HomingAttained: assumed, Enabled: assumed, RemoteAllowed: assumed,"
          + " FaultCode: none }";

  private static final String MOVE =
      "move: { how: strobe, position: { topic: hall/to }, strobe: { topic: hall/go }, echo: {"
          + " topic: hall/gone } }";

  private static EmbeddedBroker broker;

  @TempDir private Path root;

  @BeforeAll
  static void publish() throws Exception {
    broker = EmbeddedBroker.start();
    MqttClient client = new MqttClient(broker.url(), "frame-saw", new MemoryPersistence());
    client.connect();
    for (Map.Entry<String, String> message : PUBLISHED.entrySet()) {
      client.publish(message.getKey(), message.getValue().getBytes(UTF_8), 1, true);
    }
    client.disconnect();
    client.close();
  }

  @AfterAll
  static void stop() {
    broker.close();
  }

  static Stream<Arguments> entries() {
    return Stream.of(
        Arguments.of(
            "a topic nobody publishes on",
            "CutCount",
            "{ topic: hall/cutz }",
            "signal CutCount: nothing was published on topic hall/cutz since it was subscribed to;"
                + " check the topic at link.mqtt.signals.CutCount, and have the device publish it"
                + " retained"),
        Arguments.of(
            "a pointer into what is no JSON",
            "CutCount",
            "{ topic: hall/word, pointer: /cuts }",
            "signal CutCount: topic hall/word: not JSON: Unrecognized token 'twelve': was expecting"
                + " (JSON String, Number, Array, Object or token 'null', 'true' or 'false'); for"
                + " plain text leave `pointer` out; check link.mqtt.signals.CutCount against what"
                + " the device publishes"),
        Arguments.of(
            "a pointer that finds nothing",
            "PositionActualValue",
            "{ topic: hall/state, pointer: /axis/pos }",
            "signal PositionActualValue: the message has nothing at topic hall/state at /axis/pos;"
                + " check `pointer` at link.mqtt.signals.PositionActualValue against what the"
                + " device publishes"),
        Arguments.of(
            "a pointer to more than a value",
            "PositionActualValue",
            "{ topic: hall/state, pointer: /axis }",
            "signal PositionActualValue: topic hall/state at /axis is an object, expected one value;"
                + " check `pointer`"),
        Arguments.of(
            "a text where a number belongs",
            "CutCount",
            "{ topic: hall/word }",
            "signal CutCount (topic hall/word) is String twelve; expected a whole number; check"
                + " link.mqtt.signals.CutCount against what the device publishes"),
        Arguments.of(
            "a text where a position belongs",
            "PositionActualValue",
            "{ topic: hall/state, pointer: /name }",
            "signal PositionActualValue (topic hall/state at /name) is String frame saw; expected a"
                + " number; check link.mqtt.signals.PositionActualValue against what the device"
                + " publishes"),
        Arguments.of(
            "a state that has no meaning",
            "SawState",
            "{ topic: hall/state, pointer: /saw, values: { HOME: idle } }",
            "signal SawState (topic hall/state at /saw) is \"REST\", which `values` does not name,"
                + " so no target would be sent; add what it means (idle, guard-down, blade-out or"
                + " unknown). Example: `values: { HOME: idle, REST: unknown }`"));
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("entries")
  void aWrongEntryIsNamedWithItsTopicAndItsMend(
      String what, String signal, String point, String fault) throws Exception {
    Map<String, String> signals = new TreeMap<>(RIGHT);
    signals.put(signal, point);

    Shell shell = check(broker.url(), signals);

    assertThat(shell.err().lines()).as(what).containsExactly("1. Station saw1: " + fault);
    assertThat(shell.code()).isEqualTo(1);
  }

  @Test
  void whereNothingIsWrongEachSignalIsShownAndTheBrokerTimed() throws Exception {
    Shell shell = check(broker.url(), RIGHT);

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    assertThat(shell.out().lines())
        .anyMatch(l -> l.matches(" +CutCount +topic hall/cuts +12 +12 +.* s since heard +good"))
        .anyMatch(l -> l.matches(" +PositionActualValue +topic hall/state at /pos +505.5 .*"))
        .anyMatch(l -> l.matches(" +SawState +topic hall/state at /saw +REST +idle .* +good"))
        .anyMatch(l -> l.matches(" +move.position +topic hall/to .*written, not read"))
        .anyMatch(l -> l.contains("cannot be measured without a command"))
        .anyMatch(l -> l.startsWith("  No change seen within 1 s: ") && l.contains("CutCount"));
  }

  @Test
  void aPortWhereNothingListensIsNamed() throws Exception {
    int port;
    try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = free.getLocalPort();
    }
    String url = "tcp://127.0.0.1:" + port;

    assertThat(check(url, RIGHT).err().lines())
        .containsExactly(
            "1. Station saw1: broker "
                + url
                + ": Connection refused; check address and port, and that the broker runs");
  }

  @Test
  void aHostNobodyKnowsIsNamed() throws Exception {
    // RFC 6761, 6.4: no name under .invalid is ever known.
    String nowhere = "tcp://hall.invalid:1883";

    assertThat(check(nowhere, RIGHT, "plain-text: accepted, ").err().lines())
        .containsExactly(
            "1. Station saw1: broker " + nowhere + ": its host is not known; check the name");
  }

  @Test
  void aBrokerThatWantsAUserIsNamed() throws Exception {
    try (StrictBroker strict = new StrictBroker()) {
      String url = "tcp://127.0.0.1:" + strict.port();

      assertThat(check(url, RIGHT).err().lines())
          .singleElement()
          .asString()
          .startsWith("1. Station saw1: broker " + url + ": not authorized (")
          .endsWith("; the broker wants a user: write `user` and `password-file`");
    }
  }

  @Test
  void aWrongPasswordIsNamedByItsPlaceAlone() throws Exception {
    Path password = Files.writeString(root.resolve("saw1.password"), "lime honey");
    try (StrictBroker strict = new StrictBroker()) {
      String url = "tcp://127.0.0.1:" + strict.port();
      String more = "user: saw1, password-file: " + password + ", ";

      assertThat(check(url, RIGHT, more).err().lines())
          .singleElement()
          .asString()
          .startsWith("1. Station saw1: broker " + url + ": not authorized (")
          .endsWith("; check the user saw1 and the password in the file " + password)
          .doesNotContain("lime honey");
    }
  }

  @Test
  void aCertificateFromAnotherAuthorityIsNamedWithWhereToPutItsAuthority() throws Exception {
    Authority.Issued own = new Authority("Somebody").issue("broker", "127.0.0.1");
    Path store = own.store(root.resolve("broker.p12"), "clover");
    Path ours = Files.writeString(root.resolve("ca.pem"), new Authority("Shop authority").pem());
    try (ServerSocket listener = listening(store, "clover")) {
      String url = "ssl://127.0.0.1:" + listener.getLocalPort();

      assertThat(check(url, RIGHT, "tls: { ca-file: " + ours + " }, ").err().lines())
          .containsExactly(
              "1. Station saw1: broker "
                  + url
                  + ": its certificate, SHA-256 "
                  + Fingerprint.of(own.certificate())
                  + ", issued by \"CN=Somebody\", does not come from an authority in "
                  + ours
                  + "; if it is the right broker, put its authority's certificate there");
    }
  }

  /** Shows its certificate to one client after another, and says nothing more. */
  private static ServerSocket listening(Path store, String password) throws Exception {
    KeyStore keys = KeyStore.getInstance(store.toFile(), password.toCharArray());
    KeyManagerFactory managers =
        KeyManagerFactory.getInstance(KeyManagerFactory.getDefaultAlgorithm());
    managers.init(keys, password.toCharArray());
    SSLContext context = SSLContext.getInstance("TLS");
    context.init(managers.getKeyManagers(), null, null);
    ServerSocket listener =
        context.getServerSocketFactory().createServerSocket(0, 8, InetAddress.getLoopbackAddress());
    Thread thread = new Thread(() -> handshakes(listener), "tls-only");
    thread.setDaemon(true);
    thread.start();
    return listener;
  }

  private static void handshakes(ServerSocket listener) {
    while (!listener.isClosed()) {
      try (Socket client = listener.accept()) {
        client.setSoTimeout(10_000);
        int unused = client.getInputStream().read();
      } catch (IOException e) {
        // The client did not believe it, or the listener was closed: the loop looks which.
      }
    }
  }

  private Shell check(String url, Map<String, String> signals) throws Exception {
    return check(url, signals, "");
  }

  private Shell check(String url, Map<String, String> signals, String more) throws Exception {
    SiteFolder site = new SiteFolder(root.resolve("site"));
    site.stock();
    List<String> points =
        signals.entrySet().stream().map(e -> e.getKey() + ": " + e.getValue()).toList();
    site.configure(
        "mqtt: { broker: \""
            + url
            + "\", timeout: 2 s, "
            + more
            + "signals: { "
            + String.join(", ", points)
            + " }, "
            + LACKS
            + ", "
            + MOVE
            + " }");
    assertThat(Files.exists(site.config())).isTrue();
    return Shell.run("check", "-c", site.config(), "--connect", "--watch", 1);
  }
}
