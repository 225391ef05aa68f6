package org.kerftally.daemon.intake.table;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Splits text into the records of a CSV file (RFC 4180), one at a time, each with its exact line.
 *
 * <p>Why an own scanner: an unquoted {@code 12"} is a length here, so a quotation mark inside a
 * field is a plain character; and one lost quotation mark must cost one line, not the rest of the
 * file. Therefore a quoted field that is not closed within {@value #MAX_QUOTED_CHARS} characters,
 * or is closed before other text, is a flaw of its first line, and scanning goes on at the line
 * after it.
 *
 * <p>Lines end with CR LF, LF or CR. Blanks around a quoted field are dropped. For one thread.
 */
final class CsvScanner {

  /** The most fields of one record. */
  static final int MAX_FIELDS = 64;

  /** How far a closing quotation mark is looked for: many times a field's greatest length. */
  static final int MAX_QUOTED_CHARS = 4_000;

  private static final char QUOTE = '"';

  private final String text;
  private final char delimiter;
  private int index;
  private int line;

  /** Starts at an index of the text, which lies at the beginning of the given line. */
  CsvScanner(String text, char delimiter, int index, int line) {
    this.text = text;
    this.delimiter = delimiter;
    this.index = index;
    this.line = line;
  }

  /** Returns what stands between fields. */
  char delimiter() {
    return delimiter;
  }

  /** Returns where the next record begins. */
  int index() {
    return index;
  }

  /** Returns the line the next record begins on. */
  int line() {
    return line;
  }

  /** Returns the text of the line the next record begins on, or {@code null} at the end. */
  @Nullable String peekLine() {
    return index < text.length() ? text.substring(index, lineEnd(index)) : null;
  }

  /** Moves on to the next line without looking at this one. */
  void skipLine() {
    index = lineEnd(index);
    newLine();
  }

  /** Returns the next record, or {@code null} at the end of the text. */
  @Nullable CsvRow next() {
    if (index >= text.length()) {
      return null;
    }
    int firstIndex = index;
    int firstLine = line;
    List<String> fields = new ArrayList<>();
    while (true) {
      CsvRow.Flaw flaw = fields.size() == MAX_FIELDS ? tooMany() : field(fields);
      if (flaw != null) {
        index = firstIndex;
        line = firstLine;
        skipLine();
        return new CsvRow(firstLine, List.of(), flaw);
      }
      if (index >= text.length() || text.charAt(index) != delimiter) {
        newLine();
        return new CsvRow(firstLine, fields, null);
      }
      index++;
    }
  }

  private static CsvRow.Flaw tooMany() {
    return new CsvRow.Flaw(
        MAX_FIELDS,
        "the line has more than " + MAX_FIELDS + " columns",
        "leave only the columns that are needed");
  }

  /** Reads one field and stops at the delimiter or line end behind it. */
  private CsvRow.@Nullable Flaw field(List<String> fields) {
    int start = index;
    while (start < text.length() && text.charAt(start) == ' ') {
      start++;
    }
    if (start < text.length() && text.charAt(start) == QUOTE) {
      return quoted(start, fields);
    }
    int end = index;
    while (end < text.length() && text.charAt(end) != delimiter && !isLineEnd(end)) {
      end++;
    }
    fields.add(text.substring(index, end));
    index = end;
    return null;
  }

  private CsvRow.@Nullable Flaw quoted(int openingQuote, List<String> fields) {
    StringBuilder value = new StringBuilder();
    int limit = Math.min(text.length(), openingQuote + MAX_QUOTED_CHARS);
    int at = openingQuote + 1;
    while (at < limit) {
      char c = text.charAt(at);
      if (c != QUOTE) {
        value.append(c);
        at++;
      } else if (at + 1 < text.length() && text.charAt(at + 1) == QUOTE) {
        value.append(QUOTE);
        at += 2;
      } else {
        return closed(openingQuote, at + 1, value.toString(), fields);
      }
    }
    return new CsvRow.Flaw(
        fields.size(),
        "the quotation mark in front of " + shown(openingQuote) + " is never closed",
        "close it, or write a mark inside quotation marks twice, as in \"12\"\"\"");
  }

  private CsvRow.@Nullable Flaw closed(
      int openingQuote, int end, String value, List<String> fields) {
    int at = end;
    while (at < text.length() && text.charAt(at) == ' ' && delimiter != ' ') {
      at++;
    }
    if (at < text.length() && text.charAt(at) != delimiter && !isLineEnd(at)) {
      return new CsvRow.Flaw(
          fields.size(),
          "there is text behind the closing quotation mark of " + shown(openingQuote),
          "write a mark inside quotation marks twice, as in \"12\"\"\", or use none");
    }
    for (int i = openingQuote; i < end; i++) {
      if (isLineEnd(i) && !isCrBeforeLf(i)) {
        line++;
      }
    }
    fields.add(value);
    index = at;
    return null;
  }

  private String shown(int openingQuote) {
    return Cell.quote(text.substring(openingQuote + 1, lineEnd(openingQuote)).strip());
  }

  private void newLine() {
    if (index < text.length()) {
      index += isCrBeforeLf(index) ? 2 : 1;
      line++;
    }
  }

  private int lineEnd(int from) {
    int end = from;
    while (end < text.length() && !isLineEnd(end)) {
      end++;
    }
    return end;
  }

  private boolean isLineEnd(int at) {
    char c = text.charAt(at);
    return c == '\n' || c == '\r';
  }

  private boolean isCrBeforeLf(int at) {
    return text.charAt(at) == '\r' && at + 1 < text.length() && text.charAt(at + 1) == '\n';
  }
}
