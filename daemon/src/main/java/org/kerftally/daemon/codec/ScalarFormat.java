package org.kerftally.daemon.codec;

import static java.util.Map.entry;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.math.BigDecimal;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.Map;
import java.util.function.Predicate;
import java.util.function.UnaryOperator;
import org.kerftally.shared.length.Length;

/**
 * Writes and reads the values that have no parts.
 *
 * <p>Text, true and false, and whole numbers are JSON's own. A length is its whole nanometres. A
 * cost is a JSON number with all its digits, so {@code 12.50} stays {@code 12.50}. An instant is
 * RFC 3339 text in UTC, a day is RFC 3339 {@code full-date} text, a span is ISO 8601 text.
 *
 * @param expected what is expected, for the error's text
 * @param accepts whether a node can be read
 * @param reader reads it
 * @param writer writes it
 */
record ScalarFormat(String expected, Predicate<JsonNode> accepts, Reader reader, Writer writer)
    implements ValueFormat {

  /** Formats by type, boxed and unboxed. */
  static final Map<Class<?>, ValueFormat> BY_TYPE =
      Map.ofEntries(
          entry(boolean.class, flag()),
          entry(Boolean.class, flag()),
          entry(long.class, whole()),
          entry(Long.class, whole()),
          entry(int.class, small()),
          entry(Integer.class, small()),
          entry(Length.class, length()),
          entry(BigDecimal.class, decimal()),
          entry(Instant.class, instant()),
          entry(LocalDate.class, day()),
          entry(Duration.class, span()));

  private static final int MAX_SHOWN_CHARS = 60;

  /** Reads a node that was accepted; any of Java's own format errors means it is a wrong one. */
  interface Reader {
    Object read(JsonNode node);
  }

  /** Writes a value of the one type this format is for. */
  interface Writer {
    void write(Object value, JsonGenerator out) throws IOException;
  }

  @Override
  public void write(Object value, JsonGenerator out) throws IOException {
    writer.write(value, out);
  }

  @Override
  public Object read(JsonNode node, String path) throws FormatException {
    if (accepts.test(node)) {
      try {
        return reader.read(node);
      } catch (DateTimeException e) {
        // Falls through: told below like any other wrong value.
      }
    }
    throw new FormatException(path, "expected " + expected + ", found " + shown(node));
  }

  /** Returns the node as JSON, shortened. */
  static String shown(JsonNode node) {
    String text = node.toString();
    return text.length() <= MAX_SHOWN_CHARS ? text : text.substring(0, MAX_SHOWN_CHARS) + "…";
  }

  /** Returns the format of a text, that is changed before it is written. */
  static ScalarFormat text(UnaryOperator<String> change) {
    return new ScalarFormat(
        "a text",
        JsonNode::isTextual,
        JsonNode::textValue,
        (value, out) -> out.writeString(change.apply(paired((String) value))));
  }

  /**
   * Replaces half surrogates, which UTF-8 cannot store, by U+FFFD. A device can send them as JSON
   * escapes; a log that refused them would let one bad text stop the saw.
   */
  private static String paired(String text) {
    boolean whole =
        text.codePoints()
            .noneMatch(c -> c >= Character.MIN_SURROGATE && c <= Character.MAX_SURROGATE);
    if (whole) {
      return text;
    }
    StringBuilder out = new StringBuilder(text.length());
    text.codePoints()
        .map(c -> c >= Character.MIN_SURROGATE && c <= Character.MAX_SURROGATE ? 0xFFFD : c)
        .forEach(out::appendCodePoint);
    return out.toString();
  }

  private static ScalarFormat flag() {
    return new ScalarFormat(
        "true or false",
        JsonNode::isBoolean,
        JsonNode::booleanValue,
        (value, out) -> out.writeBoolean((Boolean) value));
  }

  private static ScalarFormat whole() {
    return new ScalarFormat(
        "a whole number of 64 bits",
        node -> node.isIntegralNumber() && node.canConvertToLong(),
        JsonNode::longValue,
        (value, out) -> out.writeNumber((Long) value));
  }

  private static ScalarFormat small() {
    return new ScalarFormat(
        "a whole number of 32 bits",
        node -> node.isIntegralNumber() && node.canConvertToInt(),
        JsonNode::intValue,
        (value, out) -> out.writeNumber((Integer) value));
  }

  private static ScalarFormat length() {
    return new ScalarFormat(
        "a whole number of nanometres",
        node -> node.isIntegralNumber() && node.canConvertToLong(),
        node -> Length.ofNm(node.longValue()),
        (value, out) -> out.writeNumber(((Length) value).nm()));
  }

  private static ScalarFormat decimal() {
    return new ScalarFormat(
        "a number",
        JsonNode::isNumber,
        JsonNode::decimalValue,
        (value, out) -> out.writeNumber((BigDecimal) value));
  }

  private static ScalarFormat instant() {
    return new ScalarFormat(
        "an instant like 2027-03-01T09:15:02.117Z",
        JsonNode::isTextual,
        node -> Instant.parse(node.textValue()),
        (value, out) -> out.writeString(value.toString()));
  }

  private static ScalarFormat span() {
    return new ScalarFormat(
        "a span like PT3S",
        JsonNode::isTextual,
        node -> Duration.parse(node.textValue()),
        (value, out) -> out.writeString(value.toString()));
  }

  private static ScalarFormat day() {
    return new ScalarFormat(
        "a day like 2027-03-01",
        JsonNode::isTextual,
        node -> LocalDate.parse(node.textValue()),
        (value, out) -> out.writeString(value.toString()));
  }
}
