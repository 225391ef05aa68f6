package org.kerftally.daemon.codec;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;

/**
 * Writes and reads a map as a list of {@code {"key":…,"value":…}} in its order: a key may be a
 * record.
 *
 * @param key the format of each key
 * @param value the format of each value
 */
record MapFormat(ValueFormat key, ValueFormat value) implements ValueFormat {

  private static final String KEY = "key";
  private static final String VALUE = "value";

  @Override
  public void write(Object map, JsonGenerator out) throws IOException {
    out.writeStartArray();
    for (Map.Entry<?, ?> entry : ((Map<?, ?>) map).entrySet()) {
      out.writeStartObject();
      out.writeFieldName(KEY);
      key.write(entry.getKey(), out);
      out.writeFieldName(VALUE);
      value.write(entry.getValue(), out);
      out.writeEndObject();
    }
    out.writeEndArray();
  }

  @Override
  public Object read(JsonNode node, String path) throws FormatException {
    if (!node.isArray()) {
      throw new FormatException(path, "expected a list, found " + ScalarFormat.shown(node));
    }
    Map<Object, Object> map = new LinkedHashMap<>();
    for (int i = 0; i < node.size(); i++) {
      JsonNode entry = node.path(i);
      String at = path + "[" + i + "]";
      if (entry.size() != 2 || !entry.has(KEY) || !entry.has(VALUE)) {
        throw new FormatException(
            at, "expected a key and a value, found " + ScalarFormat.shown(entry));
      }
      Object read = key.read(entry.path(KEY), at + ".key");
      if (map.put(read, value.read(entry.path(VALUE), at + ".value")) != null) {
        throw new FormatException(at, "the same key twice");
      }
    }
    return Collections.unmodifiableMap(map);
  }
}
