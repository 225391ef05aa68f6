package org.kerftally.daemon.trace;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.BufferedInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.codec.FormatException;
import org.kerftally.shared.problem.Problem;

/**
 * Reads a trace line by line. Trusts nothing: lines are bounded in length and number, and whatever
 * is no trace ends in a problem that names the line.
 *
 * <p>A last line without an end is what a killed service leaves behind, or one that is just
 * writing; it is told and not read.
 */
public final class TraceReader implements AutoCloseable {

  /** The most bytes of one line: text of the most characters, each in UTF-8. */
  static final int MAX_LINE_BYTES = 3 * TraceWriter.MAX_LINE_CHARS;

  /** Far more than fit into a file as it is written, also when some are put together. */
  static final int MAX_LINES = 5_000_000;

  private static final int MAX_WHY_CHARS = 300;
  private static final String MEND =
      "Give a file as `run --trace` wrote it, whole from its first line.";

  /** What comes next. */
  public sealed interface Reading {

    /** A line. */
    record Read(int number, TraceLine line) implements Reading {}

    /** Something that is no trace; nothing can be read behind it. */
    record Wrong(Problem problem) implements Reading {}

    /**
     * The end.
     *
     * @param cutShort the number of the last line where that has no end, else 0
     */
    record End(int cutShort) implements Reading {}
  }

  private final InputStream in;
  private final String name;
  private final TraceCodec codec = new TraceCodec();
  private int number;
  private @Nullable String version;

  /**
   * Reads from a stream.
   *
   * @param name the file's name, for problems
   */
  public TraceReader(InputStream in, String name) {
    this.in = new BufferedInputStream(in);
    this.name = name;
  }

  /** Opens a file. */
  public static TraceReader open(Path file) throws IOException {
    return new TraceReader(Files.newInputStream(file), String.valueOf(file.getFileName()));
  }

  /**
   * Returns what comes next.
   *
   * @throws IOException when the file cannot be read
   */
  public Reading next() throws IOException {
    ByteArrayOutputStream line = new ByteArrayOutputStream();
    int c = in.read();
    for (; c >= 0 && c != '\n'; c = in.read()) {
      if (line.size() >= MAX_LINE_BYTES) {
        number++;
        return wrong("the line is over " + MAX_LINE_BYTES + " bytes", MEND);
      }
      line.write(c);
    }
    if (c < 0) {
      return end(line.size());
    }
    number++;
    if (number > MAX_LINES) {
      return wrong("the file has over " + MAX_LINES + " lines", "Give one file at a time.");
    }
    String text = "";
    try {
      text = text(line.toByteArray());
      return took(codec.decode(text));
    } catch (FormatException e) {
      String wrote = TraceCodec.writer(text);
      version = wrote == null ? version : wrote;
      return wrong(shown(String.valueOf(e.getMessage())), mend());
    }
  }

  private Reading end(int rest) {
    if (number == 0) {
      number = 1;
      return wrong(rest == 0 ? "the file is empty" : "the header has no end", MEND);
    }
    return new Reading.End(rest == 0 ? 0 : number + 1);
  }

  private Reading took(TraceLine line) {
    if (line instanceof TraceLine.Header header) {
      version = header.kerftally();
    } else if (number == 1) {
      return wrong("a trace begins with a header, found none", MEND);
    }
    return new Reading.Read(number, line);
  }

  private String mend() {
    String wrote = version;
    return wrote == null
        ? MEND
        : "Kerftally " + shown(wrote) + " wrote the file; that version reads it if it is whole.";
  }

  private Reading wrong(String message, String hint) {
    return new Reading.Wrong(new Problem(name, number, null, message, hint));
  }

  private static String text(byte[] line) throws FormatException {
    try {
      return UTF_8.newDecoder().decode(ByteBuffer.wrap(line)).toString();
    } catch (CharacterCodingException e) {
      throw new FormatException("$", "this is no text in UTF-8");
    }
  }

  /** What a file holds may be said, but must not steer a terminal. */
  private static String shown(String text) {
    StringBuilder shown = new StringBuilder();
    text.codePoints()
        .limit(MAX_WHY_CHARS)
        .map(c -> Character.isISOControl(c) || Character.getType(c) == Character.FORMAT ? '?' : c)
        .forEach(shown::appendCodePoint);
    return shown.toString();
  }

  @Override
  public void close() throws IOException {
    in.close();
  }
}
