package org.kerftally.config;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.length.Length;

/**
 * Writes a configuration out in full: every key, with what the file does not give marked {@code #
 * default}. What is written can be read again and gives an equal configuration. No secret is in a
 * configuration, so none is written.
 */
final class EffectiveYaml {

  private static final String MARK = "  # default";
  private static final Pattern PLAIN = Pattern.compile("[A-Za-z_/][A-Za-z0-9_./-]*");
  private static final Set<String> SPECIAL =
      Set.of("y", "n", "yes", "no", "on", "off", "true", "false", "null");

  private final StringBuilder out = new StringBuilder();
  private final Predicate<String> given;

  private EffectiveYaml(Predicate<String> given) {
    this.given = given;
  }

  /**
   * Returns the whole configuration as YAML.
   *
   * @param given the paths of the keys that the file gives: they are not marked
   */
  static String render(SiteConfig config, Set<String> given) {
    EffectiveYaml yaml = new EffectiveYaml(given::contains);
    yaml.out.append("# Every key with the value in force. \"# default\": not said in the file.\n");
    yaml.site(config);
    return yaml.out.toString();
  }

  /** Returns the whole configuration as YAML and does not say what the file gives. */
  static String renderUnmarked(SiteConfig config) {
    EffectiveYaml yaml = new EffectiveYaml(path -> true);
    yaml.site(config);
    return yaml.out.toString();
  }

  private void site(SiteConfig config) {
    put("", "folder", text(config.folder().toString()));
    put("", "board", board(config.board()));
    secret(0, "", "board-token", config.board().token());
    put("", "board-plain-text", config.board().plainText().word());
    put("", "min-offcut", length(config.minOffcut()));
    open("", "intake");
    put("intake.", "poll", AmountKinds.text(config.intake().poll()));
    put("intake.", "min-age", AmountKinds.text(config.intake().minAge()));
    put("intake.", "max-bytes", AmountKinds.text(config.intake().maxBytes()));
    open("", "planning");
    put("planning.", "time-limit", AmountKinds.text(config.planning().timeLimit()));
    materials(config.materials());
    open("", "stations");
    for (int i = 0; i < config.stations().size(); i++) {
      station("stations[" + i + "].", config.stations().get(i));
    }
  }

  private void materials(Map<String, MaterialConfig> materials) {
    if (materials.isEmpty()) {
      put("", "materials", "{}");
      return;
    }
    open("", "materials");
    materials.forEach(
        (name, material) -> {
          String path = "materials." + name + ".";
          boolean empty = material.equals(new MaterialConfig(null, null, null, null));
          out.append("  ").append(text(name)).append(empty ? ": {}\n" : ":\n");
          putIfSaid(2, path, "section", textOrNull(material.section()));
          putIfSaid(2, path, "kerf", lengthOrNull(material.kerf()));
          putIfSaid(2, path, "min-offcut", lengthOrNull(material.minOffcut()));
          putIfSaid(2, path, "stroke", lengthOrNull(material.stroke()));
        });
  }

  private void station(String path, StationConfig station) {
    out.append("  - name: ").append(text(station.name())).append('\n');
    put(path, "layout", station.layout().word());
    put(path, "kerf", length(station.kerf()));
    put(path, "lead-trim", length(station.leadTrim()));
    put(path, "tail", length(station.tail()));
    put(path, "sliver-cuts", String.valueOf(station.sliverCuts()));
    open(path, "travel");
    put(path + "travel.", "min", length(station.travel().min()));
    put(path + "travel.", "max", length(station.travel().max()));
    open(path, "calibration");
    put(path + "calibration.", "offset", length(station.calibration().offset()));
    put(path + "calibration.", "scale", station.calibration().scale().toPlainString());
    put(path + "calibration.", "resolution", length(station.calibration().resolution()));
    corrections(path + "calibration.", station.calibration().corrections());
    put(path, "window", length(station.window()));
    open(path, "in-position");
    put(path + "in-position.", "dwell", AmountKinds.text(station.quality().dwell()));
    put(path + "in-position.", "settle", AmountKinds.text(station.quality().settle()));
    open(path, "approach");
    put(path + "approach.", "from", station.quality().from().word());
    put(path + "approach.", "overshoot", length(station.quality().overshoot()));
    open(path, "retract");
    put(path + "retract.", "by", length(station.moves().retractBy()));
    put(path + "retract.", "hold", AmountKinds.text(station.moves().hold()));
    open(path, "park");
    put(path + "park.", "at", ParkPlace.text(station.moves().parkAt()));
    put(path + "park.", "after", AmountKinds.text(station.moves().parkAfter()));
    put(path, "target-validity", AmountKinds.text(station.targetValidity()));
    open(path, "motion");
    put(path + "motion.", "top-speed", length(station.motion().topSpeed()) + "/s");
    put(path + "motion.", "acceleration", length(station.motion().acceleration()) + "/s2");
    put(path + "motion.", "settling", millis(station.motion().settlingMillis()));
    put(path, "open-parts", new OpenParts(station.openParts()).text());
    open(path, "operator");
    put(path + "operator.", "stick-loaded", station.operator().stickLoaded().word());
    put(path + "operator.", "acknowledge", station.operator().acknowledge().word());
    open(path, "link");
    if (station.link() instanceof OpcUaLinkConfig opcua) {
      opcua(path + "link.opcua.", opcua);
    } else if (station.link() instanceof MqttLinkConfig mqtt) {
      mqtt(path + "link.mqtt.", mqtt);
    }
  }

  private void corrections(String path, Corrections corrections) {
    if (corrections.equals(Corrections.NONE)) {
      put(path, "corrections", "[]");
      return;
    }
    open(path, "corrections");
    for (Corrections.Point point : corrections.points()) {
      line(4, "- { at: " + length(point.at()) + ", add: " + length(point.add()) + " }");
    }
  }

  private void opcua(String path, OpcUaLinkConfig link) {
    line(3, "opcua:");
    put(path, "endpoint", text(link.endpoint()));
    put(path, "security", link.security().word());
    identity(path, link.identity());
    put(path, "plain-text", link.plainText().word());
    put(path, "namespace", text(link.namespace()));
    if (link.nodes().isEmpty()) {
      put(path, "nodes", "{}");
    } else {
      line(4, "nodes:");
      link.nodes().forEach((name, node) -> put(path + "nodes.", name, text(node)));
    }
    out.append(WiringYaml.render(link.wiring()));
    put(path, "publishing", AmountKinds.text(link.publishing()));
    put(path, "timeout", AmountKinds.text(link.timeout()));
  }

  private void identity(String path, @Nullable OpcUaIdentity identity) {
    if (identity == null) {
      return;
    }
    open(path, "identity");
    String below = path + "identity.";
    if (identity instanceof OpcUaIdentity.User user) {
      put(below, "user", text(user.user()));
      secret(5, below, "password", user.password());
    } else if (identity instanceof OpcUaIdentity.Certificate certificate) {
      clientKey(below, certificate.key());
    }
  }

  private void tls(String path, MqttTlsConfig tls) {
    if (tls.equals(MqttTlsConfig.USUAL)) {
      return;
    }
    open(path, "tls");
    putIfSaid(5, path + "tls.", "ca-file", pathOrNull(tls.caFile()));
    ClientKey key = tls.clientKey();
    if (key != null) {
      clientKey(path + "tls.", key);
    }
  }

  private void clientKey(String path, ClientKey key) {
    put(path, "certificate-file", text(key.certificateFile().toString()));
    putIfSaid(5, path, "key-file", pathOrNull(key.keyFile()));
    secret(5, path, "key-password", key.keyPassword());
  }

  /** Writes where a secret is, never the secret: that is not known here. */
  private void secret(int depth, String path, String name, @Nullable SecretPlace place) {
    if (place != null) {
      putIfSaid(depth, path, name + "-file", pathOrNull(place.file()));
      putIfSaid(depth, path, name + "-env", textOrNull(place.variable()));
    }
  }

  private static @Nullable String pathOrNull(@Nullable Path path) {
    return path == null ? null : text(path.toString());
  }

  private void mqtt(String path, MqttLinkConfig link) {
    line(3, "mqtt:");
    put(path, "broker", text(link.broker()));
    tls(path, link.tls());
    put(path, "plain-text", link.plainText().word());
    put(path, "prefix", text(link.prefix()));
    line(4, "topics:");
    link.topics().forEach((name, topic) -> put(path + "topics.", name, text(topic)));
    out.append(WiringYaml.render(link.wiring()));
    putIfSaid(4, path, "user", textOrNull(link.user()));
    secret(4, path, "password", link.password());
    put(path, "keep-alive", AmountKinds.text(link.keepAlive()));
    put(path, "timeout", AmountKinds.text(link.timeout()));
  }

  private void open(String path, String key) {
    line(depthOf(path), key + ":");
  }

  private void put(String path, String key, String value) {
    String mark = given.test(path + key) ? "" : MARK;
    line(depthOf(path), key + ": " + value + mark);
  }

  private void putIfSaid(int depth, String path, String key, @Nullable String value) {
    if (value != null) {
      line(depth, key + ": " + value + (given.test(path + key) ? "" : MARK));
    }
  }

  /** A station stands two steps in: the list's dash takes one. */
  private static int depthOf(String path) {
    int dots = (int) path.chars().filter(c -> c == '.').count();
    return path.startsWith("stations[") ? dots + 1 : dots;
  }

  private void line(int depth, String line) {
    out.append("  ".repeat(depth)).append(line).append('\n');
  }

  private static String length(Length length) {
    return length.toString();
  }

  private static String millis(long millis) {
    return AmountKinds.text(Duration.ofMillis(millis));
  }

  private static @Nullable String lengthOrNull(@Nullable Length length) {
    return length == null ? null : length(length);
  }

  private static String board(BoardConfig board) {
    String host = board.host();
    if (host == null) {
      return "off";
    }
    return text((host.contains(":") ? "[" + host + "]" : host) + ":" + board.port());
  }

  private static @Nullable String textOrNull(@Nullable String text) {
    return text == null ? null : text(text);
  }

  /** Returns the text bare where every YAML reader takes it for a text, else in double quotes. */
  static String text(String text) {
    if (PLAIN.matcher(text).matches()
        && !SPECIAL.contains(text.toLowerCase(java.util.Locale.ROOT))) {
      return text;
    }
    StringBuilder quoted = new StringBuilder("\"");
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c == '"' || c == '\\') {
        quoted.append('\\').append(c);
      } else {
        quoted.append(c);
      }
    }
    return quoted.append('"').toString();
  }
}
