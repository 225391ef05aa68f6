package org.kerftally.daemon.intake.table;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Reads a CSV file into cells:
 *
 * <pre>
 * # units: mm                      any number of lines with #, any may be missing
 * part,length,qty,material,note    the header row: any order, delimiter , or ; or tab
 * super side,505,40,pine-19x146,   a row; fields missing at its end are empty
 * </pre>
 *
 * <p>Blank lines are skipped wherever they are. A doubled or unknown column is reported once and
 * its values are not looked at. Below the header row a line that begins with {@code #} is a remark,
 * unless it looks like a row or a statement: those are reported, for neither is read there and
 * leaving a part out in silence would be worse. Safe for use by any thread.
 */
public final class CsvTable {

  /** The most lines of a file. */
  public static final int MAX_LINES = 20_000;

  private final Vocabulary words;
  private final Problems problems;
  private final List<Row> rows = new ArrayList<>();

  private CsvTable(Vocabulary words, Problems problems) {
    this.words = words;
    this.problems = problems;
  }

  /**
   * Reads a whole file.
   *
   * @param text the file's text
   * @param words what it can say
   * @param problems takes everything that is wrong
   * @return what could be read, or {@code null} when there is no table at all
   */
  public static @Nullable Table read(String text, Vocabulary words, Problems problems) {
    return new CsvTable(words, problems).read(text);
  }

  private @Nullable Table read(String text) {
    CsvHead head = new CsvHead(words, problems);
    CsvScanner above = new CsvScanner(text, ',', 0, 1);
    head.readStatements(above);
    String headerLine = above.peekLine();
    if (headerLine == null) {
      problems.add(
          0,
          null,
          text.isBlank() ? "the file is empty" : "the file has no header row and no lines below it",
          "write " + String.join(",", words.columns()) + " and a line for each below it");
      return null;
    }
    char delimiter = head.delimiter(headerLine);
    CsvScanner scanner = new CsvScanner(text, delimiter, above.index(), above.line());
    CsvRow header = scanner.next();
    List<String> columns = header == null ? null : head.columns(header);
    if (columns == null) {
      return null;
    }
    readRows(scanner, columns);
    return new Table(head.keys(), Set.copyOf(columns), rows, delimiter != ',');
  }

  private void readRows(CsvScanner scanner, List<String> columns) {
    String line = scanner.peekLine();
    while (line != null) {
      if (scanner.line() > MAX_LINES) {
        problems.add(
            scanner.line(),
            null,
            "the file has more than " + MAX_LINES + " lines",
            "split it into several files");
        return;
      }
      if (line.strip().startsWith("#")) {
        hash(line, scanner, columns);
        scanner.skipLine();
      } else {
        CsvRow row = scanner.next();
        if (row != null && !row.isBlank()) {
          row(row, columns);
        }
      }
      line = scanner.peekLine();
    }
  }

  private void row(CsvRow row, List<String> columns) {
    CsvRow.Flaw flaw = row.flaw();
    if (flaw != null) {
      String column = flaw.field() < columns.size() ? columns.get(flaw.field()) : "";
      problems.add(row.line(), column.isEmpty() ? null : column, flaw.message(), flaw.hint());
      return;
    }
    Map<String, Cell> cells = new HashMap<>();
    for (int i = 0; i < Math.min(columns.size(), row.fields().size()); i++) {
      String column = columns.get(i);
      if (!column.isEmpty()) {
        cells.put(column, words.cell(row.line(), column, column, row.fields().get(i), problems));
      }
    }
    int filled = row.filledFields();
    if (filled > columns.size()) {
      problems.add(
          row.line(),
          null,
          "the line has "
              + filled
              + " values, and the header row names "
              + columns.size()
              + " columns",
          "put a value with a comma in quotation marks, write decimals with a point,"
              + " or use ; between columns");
    } else {
      rows.add(new Row(row.line(), "", cells));
    }
  }

  /** Looks at a line that begins with # below the header row. */
  private void hash(String line, CsvScanner scanner, List<String> columns) {
    if (words.othersIgnored()) {
      return;
    }
    String key = CsvHead.keyOf(line);
    if (key != null && words.keys().contains(key)) {
      problems.add(
          scanner.line(), "# " + key, "# " + key + " stands below the header row", "move it above");
      return;
    }
    CsvRow row = new CsvScanner(line, scanner.delimiter(), 0, scanner.line()).next();
    if (row != null && looksLikeRow(row, columns)) {
      problems.add(
          scanner.line(),
          null,
          "the line begins with # and looks like a row: " + Cell.quote(line.strip()),
          "delete the line to leave it out, or put its first value in quotation marks to keep it");
    }
  }

  private boolean looksLikeRow(CsvRow row, List<String> columns) {
    for (String required : words.required()) {
      int at = columns.indexOf(required);
      if (at < 0 || at >= row.fields().size() || row.fields().get(at).isBlank()) {
        return false;
      }
    }
    return row.filledFields() > 1;
  }
}
