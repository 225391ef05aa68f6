package org.kerftally.daemon.cutlog;

import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.codec.FormatException;
import org.kerftally.daemon.codec.JsonText;
import org.kerftally.daemon.codec.RecordFormat;
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
    String text = JsonText.write(format, event);
    if (text.length() > MAX_BODY_CHARS) {
      throw new IllegalStateException(
          "a " + kind + " of more than " + MAX_BODY_CHARS + " characters is beyond the cut log");
    }
    return new Coded(kind, text);
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
      return (Event) format.read(JsonText.read(body), "$");
    } catch (FormatException e) {
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
