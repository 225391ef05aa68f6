package org.kerftally.daemon.codec;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;

/** Writes and reads an enum as its name in lower case with hyphens: {@code in-saw}. */
public final class WordFormat implements ValueFormat {

  private final Map<String, Object> byWord = new LinkedHashMap<>();

  WordFormat(Class<?> type) {
    for (Object constant : type.getEnumConstants()) {
      byWord.put(word((Enum<?>) constant), constant);
    }
  }

  /** Returns the word that stands for a constant. */
  public static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  @Override
  public void write(Object value, JsonGenerator out) throws IOException {
    out.writeString(word((Enum<?>) value));
  }

  @Override
  public Object read(JsonNode node, String path) throws FormatException {
    Object constant = node.isTextual() ? byWord.get(node.textValue()) : null;
    if (constant == null) {
      throw new FormatException(
          path,
          "expected one of "
              + String.join(", ", byWord.keySet())
              + ", found "
              + ScalarFormat.shown(node));
    }
    return constant;
  }
}
