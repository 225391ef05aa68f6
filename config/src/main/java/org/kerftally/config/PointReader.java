package org.kerftally.config;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.length.Length;

/** Reads one point of a signal map, and refuses the keys that mean nothing for what it holds. */
final class PointReader {

  private static final Set<String> SAW_WORDS = Set.of("idle", "guard-down", "blade-out", "unknown");
  private static final String SENT = "'{\"go\":{value}}'";
  private static final int MAX_VALUES = 32;
  private static final List<String> FLAG_KEYS = List.of("bit", "mask", "equals", "not");
  private static final List<String> LENGTH_KEYS = List.of("unit", "reversed");

  private final boolean overOpcUa;

  PointReader(boolean overOpcUa) {
    this.overOpcUa = overOpcUa;
  }

  /** Reads a signal of a kind; {@code null} with problems added. */
  @Nullable PointConfig signal(Section section, Signal.Kind kind) {
    boolean counts = section.has("count");
    forbid(section, kind != Signal.Kind.TOTAL, List.of("count"), "a total of presses or cuts");
    forbid(section, kind != Signal.Kind.POSITION, LENGTH_KEYS, "a position or length");
    forbid(section, kind != Signal.Kind.STATE, List.of("values"), "the saw's state");
    forbid(section, true, List.of("template"), "what is sent");
    boolean flag = kind == Signal.Kind.FLAG || kind == Signal.Kind.CODE || counts;
    forbid(section, !flag, List.of("equals", "not"), "a flag");
    boolean number = flag || kind == Signal.Kind.NUMBER || kind == Signal.Kind.TOTAL;
    boolean bits = number || kind == Signal.Kind.STATE;
    forbid(section, !bits, List.of("bit", "mask"), "a flag or a number");
    return read(section);
  }

  /** Reads a point of a handshake. */
  @Nullable PointConfig ofMove(Section section, String name) {
    boolean written = MoveConfig.WRITTEN.contains(name);
    boolean length = name.equals("position") || name.equals("command");
    boolean text = name.equals("reason") || name.equals("error-id");
    forbid(section, true, List.of("count", "values"), "a signal");
    forbid(section, !length, LENGTH_KEYS, "a position");
    forbid(section, written || text, FLAG_KEYS, "a flag that is read");
    forbid(section, !written || overOpcUa, List.of("template"), "what is sent over MQTT");
    PointConfig point = read(section);
    if (point != null && !overOpcUa && written) {
      return checkSent(section, point, name);
    }
    return point;
  }

  /** Reads a place and nothing more: the status word's. */
  @Nullable PointConfig place(Section section) {
    Place place = readPlace(section);
    return place == null ? null : PointConfig.plain(place);
  }

  private @Nullable PointConfig checkSent(Section section, PointConfig point, String name) {
    if (point.place() instanceof Place.Topic topic && topic.pointer() != null) {
      section.wrong(
          "pointer",
          "found `pointer` for what is sent, expected `template`",
          "Write the message out. Example: `template: " + SENT + "`");
      return null;
    }
    String template = point.template();
    List<String> needed =
        name.equals("command") ? List.of("{position}", "{sequence}") : List.of("{value}");
    if (template == null && !name.equals("command")) {
      return point;
    }
    for (String hole : needed) {
      if (template == null || !template.contains(hole)) {
        section.wrong(
            "template",
            "found no " + hole + " in it, expected " + String.join(" and ", needed),
            "Put "
                + hole
                + " where the value goes. Example: `template: "
                + (name.equals("command") ? WiringKinds.TEMPLATE.example() : SENT)
                + "`");
        return null;
      }
    }
    return point;
  }

  private static void forbid(Section section, boolean wrong, List<String> keys, String belongs) {
    for (String key : keys) {
      if (wrong && section.has(key)) {
        section.wrong(
            key,
            "found `" + key + "`, which is only for " + belongs + ", expected none",
            "Leave it out");
      }
    }
  }

  private @Nullable PointConfig read(Section section) {
    Place place = readPlace(section);
    String type = section.read("type", WiringKinds.TYPE);
    if (!overOpcUa && section.has("type")) {
      section.wrong(
          "type", "found `type`, which is only for OPC UA, expected none", "Leave it out");
    }
    Integer bit = section.read("bit", WiringKinds.BIT);
    Long mask = section.read("mask", WiringKinds.MASK);
    if (bit != null && mask != null) {
      section.wrong("bit", "found both `bit` and `mask`, expected one of them", "Keep one");
    }
    String equals = section.read("equals", WiringKinds.EQUALS);
    Boolean not = section.read("not", WordKinds.YES_OR_NO);
    checkBits(section, bit != null ? Long.valueOf(1L << bit) : mask, equals);
    Map<String, String> values = readValues(section);
    Length unit = section.read("unit", WiringKinds.UNIT);
    Boolean reversed = section.read("reversed", WordKinds.YES_OR_NO);
    PointConfig.Edge count = section.read("count", WiringKinds.COUNT);
    String template = section.read("template", WiringKinds.TEMPLATE);
    if (place == null) {
      return null;
    }
    return new PointConfig(
        place,
        type,
        bit != null ? Long.valueOf(1L << bit) : mask,
        equals,
        not != null && not,
        values,
        unit,
        reversed != null && reversed,
        count,
        template);
  }

  /** Bits stay where they are in the word: what is compared with them has to be of them. */
  private static void checkBits(Section section, @Nullable Long mask, @Nullable String equals) {
    if (mask == null || equals == null) {
      return;
    }
    Long number = PointConfig.wholeNumber(equals);
    if (number == null || (number & ~mask) != 0) {
      section.wrong(
          "equals",
          "found "
              + Found.quote(equals)
              + ", which the bits 0x"
              + Long.toHexString(mask)
              + " never are, expected a number of these bits",
          "For one bit leave `equals` out: it is on at 1, with `not: true` at 0");
    }
  }

  private @Nullable Place readPlace(Section section) {
    if (!overOpcUa) {
      return readTopic(section);
    }
    for (String key : List.of("topic", "pointer")) {
      if (section.has(key)) {
        section.wrong(
            key, "found `" + key + "`, which is for MQTT", "Over OPC UA write `node` or `path`");
        return null;
      }
    }
    String node = section.read("node", AddressKinds.NODE);
    List<String> path = section.read("path", WiringKinds.PATH);
    String namespace = section.read("namespace", WordKinds.NAMESPACE);
    if (section.has("node") == section.has("path")) {
      section.wrong(
          section.has("node")
              ? "found both `node` and `path`, expected one of them"
              : "found neither `node` nor `path`, expected one of them",
          "Example: `node: " + AddressKinds.NODE.example() + "` or `path: Machine/Axis1/Position`");
      return null;
    }
    if (namespace != null && section.has("node")) {
      section.wrong(
          "namespace",
          "found `namespace` beside `node`, expected it beside `path`",
          "Write it into the node: nsu=" + namespace + ";s=NAME");
    }
    if (node != null) {
      return new Place.Node(node);
    }
    return path == null ? null : new Place.BrowsePath(namespace, path);
  }

  private static @Nullable Place readTopic(Section section) {
    for (String key : List.of("node", "path", "namespace")) {
      if (section.has(key)) {
        section.wrong(key, "found `" + key + "`, which is for OPC UA", "Over MQTT write `topic`");
        return null;
      }
    }
    String topic = section.require("topic", AddressKinds.TOPIC);
    String pointer = section.read("pointer", WiringKinds.POINTER);
    return topic == null ? null : new Place.Topic(topic, pointer);
  }

  private static Map<String, String> readValues(Section section) {
    Map<String, String> values = new LinkedHashMap<>();
    Section map = section.free("values", "{ home: idle, clamp: guard-down, cut: blade-out }");
    if (map == null) {
      return values;
    }
    if (map.keys().size() > MAX_VALUES) {
      map.wrong("found more than " + MAX_VALUES + " values", "Name only those that are used");
      return values;
    }
    for (String said : map.keys()) {
      String meant =
          map.read(
              said,
              new Kind<>(
                  "idle",
                  text ->
                      SAW_WORDS.contains(text)
                          ? Reading.of(text)
                          : Reading.not(text, "idle, guard-down, blade-out or unknown")));
      if (meant != null) {
        values.put(said, meant);
      }
    }
    return values;
  }
}
