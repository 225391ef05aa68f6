package org.kerftally.daemon.codec;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectReader;
import com.fasterxml.jackson.databind.cfg.JsonNodeFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;

/** Turns values into JSON text and text into JSON, losing no digit. Safe for any thread. */
public final class JsonText {

  private static final JsonFactory FACTORY = new JsonFactory();

  private static final ObjectReader TREE =
      JsonMapper.builder()
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
          .enable(DeserializationFeature.FAIL_ON_READING_DUP_TREE_KEY)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .disable(JsonNodeFeature.STRIP_TRAILING_BIGDECIMAL_ZEROES)
          .build()
          .readerFor(JsonNode.class);

  private JsonText() {}

  /** Returns a value as text on one line. */
  public static String write(ValueFormat format, Object value) {
    StringWriter text = new StringWriter();
    try (JsonGenerator out = FACTORY.createGenerator(text)) {
      format.write(value, out);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return text.toString();
  }

  /**
   * Reads one JSON value and nothing behind it.
   *
   * @throws FormatException when that is not what stands there
   */
  public static JsonNode read(String text) throws FormatException {
    try {
      return TREE.readValue(text);
    } catch (JsonProcessingException e) {
      throw new FormatException("$", String.valueOf(e.getOriginalMessage()));
    } catch (NumberFormatException e) {
      // The parser lets it through for an exponent that no decimal has.
      throw new FormatException("$", String.valueOf(e.getMessage()));
    }
  }
}
