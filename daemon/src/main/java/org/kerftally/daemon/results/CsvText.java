package org.kerftally.daemon.results;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.csv.FormulaGuard;

/**
 * Writes CSV as RFC 4180 has it: commas, quotes doubled inside quotes, lines that end in CR LF.
 *
 * <p>A text that a spreadsheet would take for a formula gets an apostrophe ({@link FormulaGuard}):
 * a part's name comes from whoever wrote the job file and must stay a name. Numbers are written as
 * they are, a minus sign included. Not thread-safe; no result depends on the locale.
 */
final class CsvText {

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
    String guarded = FormulaGuard.put(field);
    if (needsQuotes(guarded)) {
      text.append('"').append(guarded.replace("\"", "\"\"")).append('"');
    } else {
      text.append(guarded);
    }
    return this;
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
