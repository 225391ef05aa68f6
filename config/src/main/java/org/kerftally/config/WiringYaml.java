package org.kerftally.config;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.WiringConfig;

/** Writes the wiring of a link out, a line a point, as it can be read again. */
final class WiringYaml {

  private static final String KEY = "        ";
  private static final String ENTRY = "          ";

  private WiringYaml() {}

  /** Returns nothing for a device that keeps the contract. */
  static String render(WiringConfig wiring) {
    StringBuilder out = new StringBuilder();
    if (!wiring.signals().isEmpty()) {
      out.append(KEY).append("signals:\n");
      wiring.signals().forEach((signal, point) -> entry(out, signal.contractName(), point(point)));
    }
    if (!wiring.lacks().isEmpty()) {
      out.append(KEY).append("lacks:\n");
      wiring.lacks().forEach(standIn -> entry(out, standIn.signal(), standIn.word()));
    }
    MoveConfig move = wiring.move();
    if (!move.equals(MoveConfig.CONTRACT)) {
      out.append(KEY).append("move:\n");
      entry(out, "how", move.how().word());
      if (move.toggle()) {
        entry(out, "toggle", "true");
      }
      move.points().forEach((name, point) -> entry(out, name, point(point)));
    }
    return out.toString();
  }

  private static void entry(StringBuilder out, String key, String value) {
    out.append(ENTRY).append(key).append(": ").append(value).append('\n');
  }

  private static String point(PointConfig point) {
    List<String> parts = new ArrayList<>();
    place(parts, point.place());
    put(parts, "type", point.type());
    Long mask = point.mask();
    put(parts, "mask", mask == null ? null : "0x" + Long.toHexString(mask));
    put(parts, "equals", quoted(point.wanted()));
    put(parts, "not", point.not() ? "true" : null);
    if (!point.values().isEmpty()) {
      List<String> values = new ArrayList<>();
      point.values().forEach((said, meant) -> values.add(quoted(said) + ": " + meant));
      parts.add("values: { " + String.join(", ", values) + " }");
    }
    put(parts, "unit", point.unit() == null ? null : point.unit().toString());
    put(parts, "reversed", point.reversed() ? "true" : null);
    put(parts, "count", point.count() == null ? null : point.count().word());
    put(parts, "template", quoted(point.template()));
    return "{ " + String.join(", ", parts) + " }";
  }

  private static void place(List<String> parts, Place place) {
    if (place instanceof Place.Node node) {
      put(parts, "node", quoted(node.id()));
    } else if (place instanceof Place.BrowsePath path) {
      put(parts, "path", quoted(String.join("/", path.names())));
      put(parts, "namespace", quoted(path.namespace()));
    } else if (place instanceof Place.Topic topic) {
      put(parts, "topic", quoted(topic.topic()));
      put(parts, "pointer", quoted(topic.pointer()));
    }
  }

  private static void put(List<String> parts, String key, @Nullable String value) {
    if (value != null) {
      parts.add(key + ": " + value);
    }
  }

  private static @Nullable String quoted(@Nullable String text) {
    return text == null ? null : '"' + text.replace("\\", "\\\\").replace("\"", "\\\"") + '"';
  }
}
