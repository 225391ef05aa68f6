package org.kerftally.daemon.cli;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.StringJoiner;
import org.kerftally.daemon.results.TerminalText;
import org.kerftally.shared.length.Length;

/**
 * Says what a recorded value holds in words for people: {@code seq=17 wanted=505 mm}. Follows from
 * the value's form, so a new kind of event needs no words of its own.
 */
final class TraceWords {

  /** The longest value in a row; the file has it whole. */
  static final int MAX_ROW_CHARS = 1_000;

  private static final String LENGTH = "_nm";

  private TraceWords() {}

  /** Returns the name of the only field of an object: its kind. */
  static String kind(JsonNode kinds) {
    return kinds.fieldNames().next();
  }

  /** Returns every field with its value, those within others under a path. */
  static Map<String, String> fields(JsonNode node) {
    Map<String, String> fields = new LinkedHashMap<>();
    flatten("", node, fields);
    return fields;
  }

  private static void flatten(String path, JsonNode node, Map<String, String> fields) {
    if (node.isObject()) {
      node.properties()
          .forEach(
              each -> {
                String name = each.getKey();
                flatten(path.isEmpty() ? name : path + "." + name, each.getValue(), fields);
              });
    } else if (node.isArray()) {
      fields.put(path, "(" + node.size() + ")");
    } else if (path.endsWith(LENGTH) && node.canConvertToLong()) {
      String name = path.substring(0, path.length() - LENGTH.length());
      fields.put(name, Length.ofNm(node.longValue()).toString());
    } else {
      fields.put(path, node.asText());
    }
  }

  /** Returns the fields as one line of text. */
  static String line(Map<String, String> fields) {
    StringJoiner line = new StringJoiner(" ");
    fields.forEach((name, value) -> line.add(name + "=" + (value.isEmpty() ? "\"\"" : value)));
    return TerminalText.cut(line.toString(), MAX_ROW_CHARS);
  }

  /** Returns the fields that are other than before, and those that are gone. */
  static Map<String, String> changes(Map<String, String> before, Map<String, String> now) {
    Map<String, String> changes = new LinkedHashMap<>();
    now.forEach(
        (name, value) -> {
          if (!value.equals(before.get(name))) {
            changes.put(name, value);
          }
        });
    before.keySet().stream().filter(n -> !now.containsKey(n)).forEach(n -> changes.put(n, "none"));
    return changes;
  }
}
