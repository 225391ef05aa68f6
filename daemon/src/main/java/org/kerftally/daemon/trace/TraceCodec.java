package org.kerftally.daemon.trace;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.codec.FormatException;
import org.kerftally.daemon.codec.JsonText;
import org.kerftally.daemon.codec.KindFormat;

/** Turns lines of a trace into text, and back. Safe for any thread. */
public final class TraceCodec {

  private static final String HEADER = KindFormat.nameOf(TraceLine.Header.class);
  private static final String VERSION = "format";

  private final KindFormat format;

  /** Writes every text as it is. */
  public TraceCodec() {
    this(UnaryOperator.identity());
  }

  /** Changes every text before it is written. */
  TraceCodec(UnaryOperator<String> texts) {
    format = new KindFormat(TraceLine.class, texts);
  }

  /** Returns a line as text, without its end. */
  public String encode(TraceLine line) {
    return JsonText.write(format, line);
  }

  /**
   * Reads a line back.
   *
   * @throws FormatException when it is not a line of this format; the text says where in it
   */
  public TraceLine decode(String text) throws FormatException {
    JsonNode node = JsonText.read(text);
    JsonNode version = node.path(HEADER).path(VERSION);
    if (node.has(HEADER) && !(version.isInt() && version.intValue() == TraceLine.FORMAT)) {
      throw new FormatException(
          "$." + HEADER + "." + VERSION,
          "this version reads format " + TraceLine.FORMAT + ", found " + shown(version));
    }
    return (TraceLine) format.read(node, "$");
  }

  /**
   * Returns which version wrote a header, also one that is not read; {@code null} for no header.
   */
  static @Nullable String writer(String text) {
    try {
      JsonNode version = JsonText.read(text).path(HEADER).path("kerftally");
      return version.isTextual() ? version.textValue() : null;
    } catch (FormatException e) {
      return null;
    }
  }

  private static String shown(JsonNode version) {
    return version.isNumber() && version.asText().length() <= 20 ? version.asText() : "none";
  }

  /** Returns a line as JSON. */
  public JsonNode tree(TraceLine line) {
    try {
      return JsonText.read(encode(line));
    } catch (FormatException e) {
      throw new IllegalStateException("what was written cannot be read", e);
    }
  }
}
