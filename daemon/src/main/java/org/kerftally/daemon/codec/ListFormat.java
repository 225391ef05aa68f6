package org.kerftally.daemon.codec;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

/**
 * Writes and reads a list as a JSON array; no item is null.
 *
 * @param item the format of each item
 */
record ListFormat(ValueFormat item) implements ValueFormat {

  @Override
  public void write(Object value, JsonGenerator out) throws IOException {
    out.writeStartArray();
    for (Object each : (List<?>) value) {
      item.write(each, out);
    }
    out.writeEndArray();
  }

  @Override
  public Object read(JsonNode node, String path) throws FormatException {
    if (!node.isArray()) {
      throw new FormatException(path, "expected a list, found " + ScalarFormat.shown(node));
    }
    List<Object> items = new ArrayList<>(node.size());
    for (int i = 0; i < node.size(); i++) {
      items.add(item.read(node.path(i), path + "[" + i + "]"));
    }
    return Collections.unmodifiableList(items);
  }
}
