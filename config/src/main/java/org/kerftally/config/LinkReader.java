package org.kerftally.config;

import static org.kerftally.config.SiteReader.orElse;

import java.nio.file.Path;
import java.time.Duration;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.WiringConfig;

/** Reads how a station's device is reached. */
final class LinkReader {

  private static final String EXAMPLE = "{ opcua: { endpoint: \"opc.tcp://127.0.0.1:4840\" } }";

  private final SecurityReader reader;

  /** Reads links; relative paths in them start at {@code base}. */
  LinkReader(Path base) {
    this.reader = new SecurityReader(base);
  }

  /** Returns the station's link, or {@code null} with problems added. */
  @Nullable LinkConfig read(Section station, String name) {
    Section link = station.requireSection("link", Keys.LINK, EXAMPLE);
    if (link == null) {
      return null;
    }
    if (link.has("opcua") && link.has("mqtt")) {
      link.wrong("found both `opcua` and `mqtt`, expected one of them", "Keep the one in use");
    } else if (!link.has("opcua") && !link.has("mqtt")) {
      link.wrong(
          "found neither `opcua` nor `mqtt`, expected one of them",
          "Example: `link: " + EXAMPLE + "`");
    }
    LinkConfig opcua = readOpcUa(link);
    LinkConfig mqtt = readMqtt(link, name);
    return opcua != null ? opcua : mqtt;
  }

  private @Nullable LinkConfig readOpcUa(Section link) {
    Section opcua = link.section("opcua", Keys.OPCUA, "{ endpoint: \"opc.tcp://127.0.0.1:4840\" }");
    if (opcua == null) {
      return null;
    }
    String endpoint = opcua.require("endpoint", AddressKinds.ENDPOINT);
    String namespace = opcua.read("namespace", WordKinds.NAMESPACE);
    String example = "{ TargetPosition: " + AddressKinds.NODE.example() + " }";
    Section mapped = opcua.section("nodes", OpcUaLinkConfig.SIGNALS, example);
    Map<String, String> nodes = readMap(mapped, OpcUaLinkConfig.SIGNALS, AddressKinds.NODE);
    checkShared(mapped, nodes, "node");
    WiringConfig wiring = WiringReader.ofOpcUa(opcua);
    checkMappedOnce(opcua, nodes, wiring);
    Duration publishing = opcua.read("publishing", AmountKinds.PUBLISHING);
    Duration timeout = opcua.read("timeout", AmountKinds.TIMEOUT);
    OpcUaSecurity security = orElse(opcua.read("security", WordKinds.SECURITY), OpcUaSecurity.NONE);
    OpcUaIdentity identity = reader.identity(opcua, security);
    boolean isExposed =
        endpoint != null && security == OpcUaSecurity.NONE && !Loopback.isUrl(endpoint);
    PlainText plain =
        SecurityReader.plainText(opcua, "endpoint", isExposed, "Write `security: best`");
    return endpoint == null
        ? null
        : new OpcUaLinkConfig(
            endpoint,
            orElse(namespace, OpcUaLinkConfig.DEFAULT_NAMESPACE),
            nodes,
            orElse(publishing, OpcUaLinkConfig.DEFAULT_PUBLISHING),
            orElse(timeout, LinkConfig.DEFAULT_TIMEOUT),
            security,
            identity,
            plain,
            wiring);
  }

  private static void checkMappedOnce(
      Section opcua, Map<String, String> nodes, WiringConfig wiring) {
    for (Signal signal : Signal.values()) {
      String name = signal.contractName();
      boolean twice = wiring.signals().containsKey(signal) || wiring.lacks(signal);
      if (twice && nodes.containsKey(name)) {
        opcua.wrong(
            "nodes",
            "found "
                + name
                + " under `nodes` and under `signals` or `lacks`, expected it in one place",
            "Keep the one that is true of the device");
      }
    }
  }

  private @Nullable LinkConfig readMqtt(Section link, String name) {
    Section mqtt = link.section("mqtt", Keys.MQTT, "{ broker: \"tcp://127.0.0.1:1883\" }");
    if (mqtt == null) {
      return null;
    }
    String broker = mqtt.require("broker", AddressKinds.BROKER);
    String prefix =
        orElse(mqtt.read("prefix", AddressKinds.PREFIX), MqttLinkConfig.defaultPrefix(name));
    Map<String, String> topics = readTopics(mqtt, prefix);
    WiringConfig wiring = WiringReader.ofMqtt(mqtt);
    String user = mqtt.read("user", WordKinds.USER);
    SecretPlace password = reader.secret(mqtt, "password", "mqtt.password");
    MqttTlsConfig tls = reader.tls(mqtt, broker);
    boolean isExposed = broker != null && broker.startsWith("tcp:") && !Loopback.isUrl(broker);
    PlainText plain =
        SecurityReader.plainText(
            mqtt, "broker", isExposed, "Write `ssl://` with the broker's port for TLS");
    Duration keepAlive = mqtt.read("keep-alive", AmountKinds.KEEP_ALIVE);
    Duration timeout = mqtt.read("timeout", AmountKinds.TIMEOUT);
    return broker == null
        ? null
        : new MqttLinkConfig(
            broker,
            prefix,
            topics,
            user,
            password == null ? null : password.file(),
            orElse(keepAlive, MqttLinkConfig.DEFAULT_KEEP_ALIVE),
            orElse(timeout, LinkConfig.DEFAULT_TIMEOUT),
            password == null ? null : password.variable(),
            tls,
            plain,
            wiring);
  }

  /** Every name gets its topic, mapped or not, so that two on one topic are found. */
  private static Map<String, String> readTopics(Section mqtt, String prefix) {
    Section mapped = mqtt.section("topics", MqttLinkConfig.TOPICS, "{ target: shop/saw1/target }");
    Map<String, String> given = readMap(mapped, MqttLinkConfig.TOPICS, AddressKinds.TOPIC);
    Map<String, String> topics = new LinkedHashMap<>();
    for (String name : MqttLinkConfig.TOPICS) {
      topics.put(name, orElse(given.get(name), prefix + name));
    }
    checkShared(mapped, topics, "topic");
    return topics;
  }

  private static Map<String, String> readMap(
      @Nullable Section section, List<String> names, Kind<String> kind) {
    Map<String, String> values = new LinkedHashMap<>();
    if (section == null) {
      return values;
    }
    for (String name : names) {
      String value = section.read(name, kind);
      if (value != null) {
        values.put(name, value);
      }
    }
    return values;
  }

  private static void checkShared(
      @Nullable Section section, Map<String, String> values, String what) {
    if (section == null) {
      return;
    }
    Map<String, String> owners = new HashMap<>();
    values.forEach(
        (name, value) -> {
          String owner = owners.putIfAbsent(value, name);
          if (owner != null) {
            boolean here = section.has(name);
            section.wrong(
                here ? name : owner,
                "found the same "
                    + what
                    + " as for "
                    + (here ? owner : name)
                    + ", expected its own",
                "Map each name to the " + what + " that carries it");
          }
        });
  }
}
