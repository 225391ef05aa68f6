package org.kerftally.daemon.codec;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import java.util.function.UnaryOperator;

/**
 * Writes and reads any record of a closed set of them, each under the name of its type: {@code
 * {"job-offered":{…}}}. Immutable and safe for any thread.
 */
public final class KindFormat implements ValueFormat {

  private final Map<String, RecordFormat> byName = new LinkedHashMap<>();
  private final Map<Class<?>, String> names = new LinkedHashMap<>();

  /**
   * Looks a sealed interface over, with all the records in it.
   *
   * @param texts what to write in the place of each text, see {@link RecordFormat}
   */
  public KindFormat(Class<?> sealed, UnaryOperator<String> texts) {
    collect(sealed, texts);
  }

  private void collect(Class<?> type, UnaryOperator<String> texts) {
    if (type.isRecord()) {
      String name = nameOf(type);
      names.put(type, name);
      if (byName.put(name, new RecordFormat(type, texts)) != null) {
        throw new IllegalStateException("two kinds are called " + name);
      }
      return;
    }
    if (!type.isSealed()) {
      throw new IllegalStateException("neither a record nor sealed: " + type);
    }
    for (Class<?> each : type.getPermittedSubclasses()) {
      collect(each, texts);
    }
  }

  /** Returns the name of a kind: {@code JobOffered} is {@code job-offered}. */
  public static String nameOf(Class<?> type) {
    return type.getSimpleName()
        .replaceAll("([a-z])([A-Z])", "$1-$2")
        .toLowerCase(java.util.Locale.ROOT);
  }

  @Override
  public void write(Object value, JsonGenerator out) throws IOException {
    String name = Objects.requireNonNull(names.get(value.getClass()), "not of this set");
    out.writeStartObject();
    out.writeFieldName(name);
    Objects.requireNonNull(byName.get(name)).write(value, out);
    out.writeEndObject();
  }

  @Override
  public Object read(JsonNode node, String path) throws FormatException {
    if (!node.isObject() || node.size() != 1) {
      throw new FormatException(path, "expected one kind, found " + ScalarFormat.shown(node));
    }
    String name = node.fieldNames().next();
    RecordFormat format = byName.get(name);
    if (format == null) {
      throw new FormatException(path + "." + name, "no such kind is known to this version");
    }
    return format.read(node.path(name), path + "." + name);
  }
}
