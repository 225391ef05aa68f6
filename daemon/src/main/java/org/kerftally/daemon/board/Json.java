package org.kerftally.daemon.board;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Writes the board's JSON: lengths as exact decimal millimetres, times in RFC 3339 UTC with
 * milliseconds, one line of UTF-8.
 */
final class Json {

  private static final JsonMapper MAPPER =
      JsonMapper.builder().enable(JsonGenerator.Feature.WRITE_BIGDECIMAL_AS_PLAIN).build();

  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  private Json() {}

  /** Returns an empty object. */
  static ObjectNode object() {
    return NODES.objectNode();
  }

  /** Returns a time as text, {@code null} for none. */
  static @Nullable String time(@Nullable Instant at) {
    return at == null ? null : TIME.format(at);
  }

  /** Returns a length as a number of millimetres, {@code null} for none. */
  static @Nullable BigDecimal mm(@Nullable Length length) {
    return length == null ? null : length.toMm();
  }

  /** Returns the bytes of a tree, without a line break. */
  static byte[] bytes(JsonNode tree) {
    try {
      return MAPPER.writeValueAsString(tree).getBytes(StandardCharsets.UTF_8);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a tree of plain values cannot be written", e);
    }
  }
}
