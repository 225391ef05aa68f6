package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Writes CSV as RFC 4180 has it: commas, quotes doubled inside quotes, lines that end in CR LF.
 *
 * <p>A text that a spreadsheet would take for a formula, because it begins with {@code = + - @}, a
 * tab or a line break, gets an apostrophe before it: a part's name comes from whoever wrote the job
 * file and must stay a name. A spreadsheet that was told another delimiter, or that takes no notice
 * of quotes within a line, begins a cell in the middle of a text: so the apostrophe also comes
 * before {@code = + - @} behind a delimiter, a quote or a line break, blanks between them or not,
 * and the same signs of full width count too. Numbers are written as they are, a minus sign
 * included. Not thread-safe; no result depends on the locale.
 */
final class CsvText {

  private static final Pattern FORMULA =
      Pattern.compile(
          "(^[\\s\\u00A0]*|[,;|\"\\t\\r\\n][\\s\\u00A0]*)(?=[=+\\-@\uFF1D\uFF0B\uFF0D\uFF20])");

  private static final String BREAKS = "\t\r\n";

  private final StringBuilder text = new StringBuilder();
  private boolean lineBegun;

  CsvText(String... headers) {
    for (String header : headers) {
      text(header);
    }
    end();
  }

  /** Adds a field of text; {@code null} leaves it empty. */
  CsvText text(@Nullable String field) {
    separate();
    if (field == null || field.isEmpty()) {
      return this;
    }
    String guarded = guarded(field);
    if (needsQuotes(guarded)) {
      text.append('"').append(guarded.replace("\"", "\"\"")).append('"');
    } else {
      text.append(guarded);
    }
    return this;
  }

  private static String guarded(String field) {
    String cells = FORMULA.matcher(field).replaceAll("$1'");
    return BREAKS.indexOf(cells.charAt(0)) >= 0 ? "'" + cells : cells;
  }

  /** Adds a number without an exponent; {@code null} leaves the field empty. */
  CsvText number(@Nullable BigDecimal number) {
    separate();
    if (number != null) {
      text.append(number.toPlainString());
    }
    return this;
  }

  /** Adds a whole number; {@code null} leaves the field empty. */
  CsvText number(@Nullable Long number) {
    return number(number == null ? null : BigDecimal.valueOf(number));
  }

  /** Adds a whole number. */
  CsvText number(int number) {
    return number(BigDecimal.valueOf(number));
  }

  /** Ends the line. */
  CsvText end() {
    text.append("\r\n");
    lineBegun = false;
    return this;
  }

  private void separate() {
    if (lineBegun) {
      text.append(',');
    }
    lineBegun = true;
  }

  private static boolean needsQuotes(String field) {
    for (int i = 0; i < field.length(); i++) {
      char c = field.charAt(i);
      if (c == ',' || c == ';' || c == '"' || c == '\r' || c == '\n' || c == '\t') {
        return true;
      }
    }
    return field.startsWith(" ") || field.endsWith(" ") || field.startsWith("#");
  }

  /** Returns all that was written. */
  @Override
  public String toString() {
    return text.toString();
  }
}
