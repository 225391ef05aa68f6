package org.kerftally.daemon.cutlog;

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
import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;

/**
 * Turns events into the text that is stored, and back.
 *
 * <p>One event is a kind and a JSON object: {@code target-accepted} and {@code {"seq":17}}. What
 * the object holds is told at {@link RecordFormat}; the stored form is held still by a file of
 * samples in the tests. Safe for any thread.
 */
final class EventCodec {

  /**
   * Longest body of one event: a cut pattern takes some hundred characters, so far above a plan.
   */
  static final int MAX_BODY_CHARS = 64 * 1024 * 1024;

  private static final int MAX_SHOWN_KIND_CHARS = 60;
  private static final int MAX_SHOWN_WHY_CHARS = 500;

  private static final JsonFactory FACTORY = new JsonFactory();

  private static final ObjectReader TREE =
      JsonMapper.builder()
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
          .enable(DeserializationFeature.FAIL_ON_READING_DUP_TREE_KEY)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .disable(JsonNodeFeature.STRIP_TRAILING_BIGDECIMAL_ZEROES)
          .build()
          .readerFor(JsonNode.class);

  private static final Map<String, RecordFormat> FORMATS =
      EventKinds.all().entrySet().stream()
          .collect(
              Collectors.toUnmodifiableMap(
                  Map.Entry::getKey, kind -> new RecordFormat(kind.getValue())));

  private EventCodec() {}

  /**
   * Holds an event as stored.
   *
   * @param kind the name of its kind
   * @param body its fields as a JSON object
   */
  record Coded(String kind, String body) {}

  /**
   * Turns an event into text.
   *
   * @throws IllegalStateException when its type was given no name, a field is null that must not
   *     be, or the text is beyond {@link #MAX_BODY_CHARS}
   */
  static Coded encode(Event event) {
    String kind = EventKinds.nameOf(event.getClass());
    RecordFormat format = kind == null ? null : FORMATS.get(kind);
    if (kind == null || format == null) {
      throw new IllegalStateException("the cut log has no kind for " + event.getClass().getName());
    }
    StringWriter text = new StringWriter();
    try (JsonGenerator out = FACTORY.createGenerator(text)) {
      format.write(event, out);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    if (text.getBuffer().length() > MAX_BODY_CHARS) {
      throw new IllegalStateException(
          "a " + kind + " of more than " + MAX_BODY_CHARS + " characters is beyond the cut log");
    }
    return new Coded(kind, text.toString());
  }

  /**
   * Reads an event back.
   *
   * @param id the row it stands in, for the error's text
   * @throws CutLogException when the kind or a field is unknown, missing or not of its type
   */
  static Event decode(long id, String kind, String body) {
    RecordFormat format = FORMATS.get(kind);
    if (format == null) {
      throw new CutLogException(
          "event "
              + id
              + " of the cut log is of the kind \""
              + shown(kind, MAX_SHOWN_KIND_CHARS)
              + "\", which this version does not know. Run the version that wrote it, or a newer one.");
    }
    try {
      JsonNode node = TREE.readValue(body);
      return (Event) format.read(node, "$");
    } catch (FormatException e) {
      throw unreadable(id, kind, e.getMessage(), e);
    } catch (JsonProcessingException e) {
      throw unreadable(id, kind, e.getOriginalMessage(), e);
    } catch (NumberFormatException e) {
      // The parser lets it through for an exponent that no decimal has.
      throw unreadable(id, kind, e.getMessage(), e);
    }
  }

  private static CutLogException unreadable(
      long id, String kind, @Nullable String why, Exception cause) {
    return new CutLogException(
        "event "
            + id
            + " of the cut log ("
            + kind
            + ") cannot be read: "
            + shown(String.valueOf(why), MAX_SHOWN_WHY_CHARS),
        cause);
  }

  /** A damaged row may hold anything, and what is said of it goes to a terminal. */
  private static String shown(String text, int mostChars) {
    StringBuilder shown = new StringBuilder();
    text.chars()
        .limit(mostChars)
        .forEach(c -> shown.append(Character.isISOControl(c) ? '\uFFFD' : (char) c));
    return shown.append(text.length() > mostChars ? "…" : "").toString();
  }
}
