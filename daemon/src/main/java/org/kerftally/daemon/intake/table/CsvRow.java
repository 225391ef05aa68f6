package org.kerftally.daemon.intake.table;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Holds one record of a CSV file.
 *
 * @param line the line it begins on
 * @param fields its fields, quotation marks resolved, blanks around them kept
 * @param flaw why its fields cannot be told apart, or {@code null}
 */
record CsvRow(int line, List<String> fields, @Nullable Flaw flaw) {

  CsvRow {
    fields = List.copyOf(fields);
  }

  /** Tells whether no field has anything written in it. */
  boolean isBlank() {
    return flaw == null && fields.stream().allMatch(String::isBlank);
  }

  /** Returns how many fields there are up to the last that is not blank. */
  int filledFields() {
    int filled = fields.size();
    while (filled > 0 && fields.get(filled - 1).isBlank()) {
      filled--;
    }
    return filled;
  }

  /**
   * Says why a record cannot be split into fields.
   *
   * @param field which field, counted from 0
   * @param message what was found
   * @param hint what to write instead
   */
  record Flaw(int field, String message, String hint) {}
}
