package org.kerftally.protocol.mqtt;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Reads the fields of one JSON object that came from outside, and trusts none of them.
 *
 * <p>A message is bounded before it is parsed (bytes), while it is parsed (nesting, digits of a
 * number, characters of a string, doubled names) and after (type and range of every field). A
 * number becomes a {@code double} or a whole number before anything else looks at it, never a
 * {@code BigDecimal} of unbounded exponent. Every failure names the field. A whole number may be
 * written {@code 17.0}, as some controllers do. Unknown fields are passed over.
 */
final class MessageFields {

  /** What one message may hold, by the device contract. */
  static final int MAX_PAYLOAD_BYTES = 64 * 1024;

  /** What one message of plain text may hold: one value. */
  static final int MAX_TEXT_BYTES = 1024;

  /** The largest whole number that every JSON reader holds exactly: 2^53 − 1 (RFC 7493, 2.2). */
  static final long MAX_WHOLE_NUMBER = (1L << 53) - 1;

  /** One kilometre: longer than any stop travels. */
  static final double MAX_READING_MM = 1_000_000;

  private static final int MAX_DEPTH = 16;
  private static final int MAX_NUMBER_CHARS = 40;
  private static final int MAX_STRING_CHARS = 8 * 1024;
  private static final int MAX_NAME_CHARS = 256;
  private static final int MAX_IDENTITY_CHARS = 64;
  private static final int MAX_TEXT_CHARS = 500;
  private static final int MAX_TIME_CHARS = 40;
  private static final Instant EARLIEST = Instant.parse("1970-01-01T00:00:00Z");
  private static final Instant LATEST = Instant.parse("9999-12-31T23:59:59.999999999Z");

  // What the parser adds about the source it read from says nothing here.
  private static final Pattern PLACE_IN_SOURCE = Pattern.compile("\\s*\\(start marker at .*");

  private static final JsonMapper MAPPER = mapper();

  private final String path;
  private final JsonNode object;

  private MessageFields(String path, JsonNode object) {
    this.path = path;
    this.object = object;
  }

  private static JsonMapper mapper() {
    JsonFactory factory =
        JsonFactory.builder()
            .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
            .streamReadConstraints(
                StreamReadConstraints.builder()
                    .maxDocumentLength(MAX_PAYLOAD_BYTES)
                    .maxNestingDepth(MAX_DEPTH)
                    .maxNumberLength(MAX_NUMBER_CHARS)
                    .maxStringLength(MAX_STRING_CHARS)
                    .maxNameLength(MAX_NAME_CHARS)
                    .build())
            .build();
    return JsonMapper.builder(factory)
        .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
        .build();
  }

  /**
   * Parses a payload that must be one JSON object.
   *
   * @param what the message's name, for error text
   */
  static MessageFields parse(String what, byte[] payload) throws MalformedMessageException {
    JsonNode node = tree(what, payload);
    if (!node.isObject()) {
      throw new MalformedMessageException(what + ": expected one JSON object");
    }
    return new MessageFields(what, node);
  }

  /** Parses a payload that must be one JSON value within the bounds of a message. */
  static JsonNode tree(String what, byte[] payload) throws MalformedMessageException {
    if (payload.length > MAX_PAYLOAD_BYTES) {
      throw new MalformedMessageException(
          what + ": " + payload.length + " bytes, expected at most " + MAX_PAYLOAD_BYTES);
    }
    JsonNode node;
    try {
      node = MAPPER.readTree(payload);
    } catch (JsonProcessingException e) {
      String cause = PLACE_IN_SOURCE.matcher(e.getOriginalMessage()).replaceAll("");
      throw new MalformedMessageException(what + ": not JSON: " + told(cause));
    } catch (IOException e) {
      throw new MalformedMessageException(what + ": not JSON: not UTF-8");
    }
    if (node == null) {
      throw new MalformedMessageException(what + ": expected one JSON object");
    }
    return node;
  }

  private static String told(String parserText) {
    String text = MalformedMessageException.printable(parserText);
    return text.length() > MAX_TEXT_CHARS ? text.substring(0, MAX_TEXT_CHARS) : text;
  }

  /** Returns the fields of an object within this one, or {@code null} when absent or null. */
  @Nullable MessageFields optionalObject(String name) throws MalformedMessageException {
    JsonNode node = find(name);
    if (node == null) {
      return null;
    }
    if (!node.isObject()) {
      throw wrong(name, node, "an object or null");
    }
    return new MessageFields(path + "." + name, node);
  }

  /** Returns a short name without control characters, not empty. */
  String identity(String name) throws MalformedMessageException {
    JsonNode node = need(name);
    String expected = "1 to " + MAX_IDENTITY_CHARS + " printable characters";
    if (!node.isTextual()) {
      throw wrong(name, node, expected);
    }
    String text = node.textValue();
    if (text.isBlank()
        || text.length() > MAX_IDENTITY_CHARS
        || text.chars().anyMatch(Character::isISOControl)) {
      throw wrong(name, node, expected);
    }
    return text;
  }

  /** Returns words for people, shortened and on one line; empty when absent. */
  String text(String name) throws MalformedMessageException {
    JsonNode node = find(name);
    if (node == null) {
      return "";
    }
    if (!node.isTextual()) {
      throw wrong(name, node, "text or null");
    }
    String text = node.textValue();
    return told(text);
  }

  /** Returns one of a closed set of words. */
  String word(String name, String expected) throws MalformedMessageException {
    JsonNode node = need(name);
    if (!node.isTextual()) {
      throw wrong(name, node, expected);
    }
    return node.textValue();
  }

  /** Returns a field that must be true or false. */
  boolean flag(String name) throws MalformedMessageException {
    JsonNode node = need(name);
    if (!node.isBoolean()) {
      throw wrong(name, node, "true or false");
    }
    return node.booleanValue();
  }

  /** Returns a flag, {@code false} when absent or null. */
  boolean optionalFlag(String name) throws MalformedMessageException {
    return find(name) != null && flag(name);
  }

  /** Returns a whole number between two bounds, both included. */
  long whole(String name, long least, long most) throws MalformedMessageException {
    JsonNode node = need(name);
    if (!node.isNumber() || !node.canConvertToExactIntegral() || !node.canConvertToLong()) {
      throw wrong(name, node, "a whole number from " + least + " to " + most);
    }
    long value = node.longValue();
    if (value < least || value > most) {
      throw wrong(name, node, "a whole number from " + least + " to " + most);
    }
    return value;
  }

  /** Returns a total that only grows; 0 when absent or null. */
  long optionalTotal(String name) throws MalformedMessageException {
    return find(name) == null ? 0 : whole(name, 0, MAX_WHOLE_NUMBER);
  }

  /** Returns a reading in millimetres. */
  Length reading(String name, double leastMm) throws MalformedMessageException {
    JsonNode node = need(name);
    String expected = "a number of mm from " + leastMm + " to " + MAX_READING_MM;
    if (!node.isNumber()) {
      throw wrong(name, node, expected);
    }
    double mm = node.doubleValue();
    if (!(mm >= leastMm && mm <= MAX_READING_MM)) {
      throw wrong(name, node, expected);
    }
    return Length.ofReadingMm(mm);
  }

  /** Returns a length in millimetres that is not negative, or {@code null} when absent or null. */
  @Nullable Length optionalLength(String name) throws MalformedMessageException {
    return find(name) == null ? null : reading(name, 0);
  }

  /** Returns a moment in time, or {@code null} when absent or null. */
  @Nullable Instant optionalTime(String name) throws MalformedMessageException {
    JsonNode node = find(name);
    if (node == null) {
      return null;
    }
    String expected = "an RFC 3339 time such as 2027-03-01T09:15:02.117Z";
    if (!node.isTextual() || node.textValue().length() > MAX_TIME_CHARS) {
      throw wrong(name, node, expected);
    }
    try {
      Instant at = Instant.parse(node.textValue());
      if (at.isBefore(EARLIEST) || at.isAfter(LATEST)) {
        throw wrong(name, node, expected);
      }
      return at;
    } catch (DateTimeException e) {
      throw wrong(name, node, expected);
    }
  }

  /** Returns the error for a field whose value is not what it must be. */
  MalformedMessageException wrong(String name, String expected) {
    return wrong(name, object.path(name), expected);
  }

  private MalformedMessageException wrong(String name, JsonNode found, String expected) {
    String shown = found.isMissingNode() ? "nothing" : shown(found);
    return new MalformedMessageException(
        path + "." + name + ": found " + shown + ", expected " + expected);
  }

  private static String shown(JsonNode found) {
    if (found.isTextual()) {
      return MalformedMessageException.quote(found.textValue());
    }
    if (found.isContainerNode()) {
      return found.isArray() ? "an array" : "an object";
    }
    return found.isNull() ? "null" : MalformedMessageException.quote(found.asText());
  }

  private @Nullable JsonNode find(String name) {
    JsonNode node = object.get(name);
    return node == null || node.isNull() ? null : node;
  }

  private JsonNode need(String name) throws MalformedMessageException {
    JsonNode node = object.get(name);
    if (node == null) {
      throw new MalformedMessageException(path + "." + name + ": missing");
    }
    return node;
  }
}
