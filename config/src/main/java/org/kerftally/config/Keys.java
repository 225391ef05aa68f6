package org.kerftally.config;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.kerftally.config.wiring.MoveConfig;

/** Lists the keys of every mapping in the file, in the order in which they are written out. */
final class Keys {

  static final List<String> SITE =
      List.of(
          "folder",
          "board",
          "board-token-file",
          "board-token-env",
          "board-plain-text",
          "min-offcut",
          "intake",
          "planning",
          "materials",
          "stations");
  static final List<String> INTAKE = List.of("poll", "min-age", "max-bytes");
  static final List<String> PLANNING = List.of("time-limit");
  static final List<String> MATERIAL = List.of("section", "kerf", "min-offcut", "stroke");
  static final List<String> STATION =
      List.of(
          "name",
          "layout",
          "kerf",
          "lead-trim",
          "tail",
          "sliver-cuts",
          "travel",
          "calibration",
          "window",
          "in-position",
          "approach",
          "retract",
          "park",
          "target-validity",
          "motion",
          "open-parts",
          "operator",
          "link");
  static final List<String> TRAVEL = List.of("min", "max");
  static final List<String> CALIBRATION = List.of("offset", "scale", "resolution", "corrections");
  static final List<String> CORRECTION = List.of("at", "add");
  static final List<String> IN_POSITION = List.of("dwell", "settle");
  static final List<String> APPROACH = List.of("from", "overshoot");
  static final List<String> RETRACT = List.of("by", "hold");
  static final List<String> PARK = List.of("at", "after");
  static final List<String> MOTION = List.of("top-speed", "acceleration", "settling");
  static final List<String> OPERATOR = List.of("stick-loaded", "acknowledge");
  static final List<String> LINK = List.of("opcua", "mqtt");
  static final List<String> OPCUA =
      List.of(
          "endpoint",
          "security",
          "identity",
          "plain-text",
          "namespace",
          "nodes",
          "signals",
          "status-word",
          "lacks",
          "move",
          "publishing",
          "timeout");
  static final List<String> IDENTITY =
      List.of(
          "user",
          "password-file",
          "password-env",
          "certificate-file",
          "key-file",
          "key-password-file",
          "key-password-env");
  static final List<String> MQTT =
      List.of(
          "broker",
          "tls",
          "plain-text",
          "prefix",
          "topics",
          "signals",
          "status-word",
          "lacks",
          "move",
          "user",
          "password-file",
          "password-env",
          "keep-alive",
          "timeout");
  static final List<String> TLS =
      List.of("ca-file", "certificate-file", "key-file", "key-password-file", "key-password-env");

  static final List<String> POINT =
      List.of(
          "node",
          "path",
          "namespace",
          "topic",
          "pointer",
          "type",
          "bit",
          "mask",
          "equals",
          "not",
          "values",
          "unit",
          "reversed",
          "count",
          "template");
  static final List<String> STATUS_WORD = List.of("node", "path", "namespace", "topic", "pointer");
  static final List<String> MOVE = moveKeys();

  private static final Map<String, List<String>> PLACES = new LinkedHashMap<>();

  static {
    PLACES.put("the top of the file", SITE);
    PLACES.put("intake", INTAKE);
    PLACES.put("planning", PLANNING);
    PLACES.put("materials.NAME", MATERIAL);
    PLACES.put("stations[]", STATION);
    PLACES.put("stations[].travel", TRAVEL);
    PLACES.put("stations[].calibration", CALIBRATION);
    PLACES.put("stations[].calibration.corrections[]", CORRECTION);
    PLACES.put("stations[].in-position", IN_POSITION);
    PLACES.put("stations[].approach", APPROACH);
    PLACES.put("stations[].retract", RETRACT);
    PLACES.put("stations[].park", PARK);
    PLACES.put("stations[].motion", MOTION);
    PLACES.put("stations[].operator", OPERATOR);
    PLACES.put("stations[].link", LINK);
    PLACES.put("stations[].link.opcua", OPCUA);
    PLACES.put("stations[].link.opcua.identity", IDENTITY);
    PLACES.put("stations[].link.opcua.move", MOVE);
    PLACES.put("stations[].link.opcua.signals.NAME", POINT);
    PLACES.put("stations[].link.mqtt", MQTT);
    PLACES.put("stations[].link.mqtt.tls", TLS);
  }

  private Keys() {}

  private static List<String> moveKeys() {
    List<String> keys = new ArrayList<>(List.of("how", "toggle"));
    keys.addAll(MoveConfig.names());
    return List.copyOf(keys);
  }

  /** Returns the places where a key is known, none for a key that is known nowhere. */
  static List<String> placesOf(String key) {
    return PLACES.entrySet().stream()
        .filter(place -> place.getValue().contains(key))
        .map(Map.Entry::getKey)
        .toList();
  }
}
