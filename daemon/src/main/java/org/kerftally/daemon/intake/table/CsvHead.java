package org.kerftally.daemon.intake.table;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Reads what stands above the rows of a CSV file: lines {@code # key: value} and the header row.
 *
 * <p>A line that begins with {@code #} and one word before a colon states something about the whole
 * file; any other is a remark. A spreadsheet that saved such a line put it in quotation marks,
 * filled it up with delimiters or spread it over two columns: all are read. The header row decides
 * the delimiter: the one that splits it into the most known columns. For one thread.
 */
final class CsvHead {

  private static final Pattern STATEMENT =
      Pattern.compile("#+\\s*([\\p{L}][\\p{L}\\p{N}_-]*)\\s*:(?!//)(.*)", Pattern.DOTALL);
  private static final Pattern SEPARATOR_LINE = Pattern.compile("(?i)\"?sep=[,;\\t]\"?");
  private static final Pattern DELIMITERS_AT_ENDS = Pattern.compile("^[,;\\s]+|[,;\\s]+$");
  private static final List<Character> DELIMITERS = List.of(',', ';', '\t');

  private final Vocabulary words;
  private final Problems problems;
  private final Map<String, Cell> keys = new HashMap<>();

  CsvHead(Vocabulary words, Problems problems) {
    this.words = words;
    this.problems = problems;
  }

  /** Returns what the lines {@code # key: value} said. */
  Map<String, Cell> keys() {
    return keys;
  }

  /** Tells whether a line is a remark or a statement, not a row. */
  static boolean isHash(String line) {
    String stripped = line.strip();
    return stripped.startsWith("#") || stripped.startsWith("\"#");
  }

  /** Returns the key that a line states something about, or {@code null} for a remark. */
  static @Nullable String keyOf(String line) {
    Matcher statement = STATEMENT.matcher(unwrapped(line));
    return statement.matches() ? statement.group(1).toLowerCase(Locale.ROOT) : null;
  }

  /** Reads the lines above the header row and leaves the scanner at the header row. */
  void readStatements(CsvScanner scanner) {
    String line = scanner.peekLine();
    while (line != null && isAbove(line, scanner.line())) {
      if (isHash(line)) {
        statement(line, scanner.line());
      }
      scanner.skipLine();
      line = scanner.peekLine();
    }
  }

  private static boolean isAbove(String line, int number) {
    boolean blank = DELIMITERS_AT_ENDS.matcher(line).replaceAll("").isEmpty();
    return blank || isHash(line) || (number == 1 && SEPARATOR_LINE.matcher(line.strip()).matches());
  }

  private void statement(String line, int number) {
    Matcher statement = STATEMENT.matcher(unwrapped(line));
    if (!statement.matches() || words.othersIgnored()) {
      return;
    }
    String key = statement.group(1).toLowerCase(Locale.ROOT);
    if (!words.keys().contains(key)) {
      String nearest = new Nearest(words.keys()).to(key);
      problems.add(
          number,
          "# " + key,
          Cell.quote(key) + " is no known key",
          (nearest == null ? "" : "write # " + nearest + ": … if that is meant; ")
              + "known keys are "
              + String.join(", ", words.keys())
              + "; a remark has no colon behind its first word");
      return;
    }
    String value = DELIMITERS_AT_ENDS.matcher(statement.group(2)).replaceAll("");
    Cell cell = words.cell(number, key, "# " + key, value, problems);
    Cell before = keys.putIfAbsent(key, cell);
    if (before != null) {
      problems.add(
          cell,
          "# " + key + " stands on line " + before.line() + " already",
          "leave one of the two");
    }
  }

  /** Takes off the quotation marks that a spreadsheet puts around a line with a delimiter in it. */
  private static String unwrapped(String line) {
    String stripped = line.strip();
    if (!stripped.startsWith("\"")) {
      return stripped;
    }
    CsvRow row = new CsvScanner(stripped, ',', 0, 1).next();
    if (row == null || row.flaw() != null) {
      row = new CsvScanner(stripped, ';', 0, 1).next();
    }
    return row == null || row.flaw() != null ? stripped : String.join(",", row.fields()).strip();
  }

  /** Returns the delimiter that splits a header row into the most known columns. */
  char delimiter(String headerLine) {
    char best = ',';
    int bestKnown = -1;
    int bestFields = -1;
    for (char delimiter : DELIMITERS) {
      CsvRow row = new CsvScanner(headerLine, delimiter, 0, 1).next();
      List<String> names = row == null ? List.of() : names(row);
      int known = (int) names.stream().filter(words.columns()::contains).count();
      if (known > bestKnown || (known == bestKnown && names.size() > bestFields)) {
        best = delimiter;
        bestKnown = known;
        bestFields = names.size();
      }
    }
    return best;
  }

  private static List<String> names(CsvRow row) {
    return row.fields().stream()
        .map(name -> CellText.clean(name).toLowerCase(Locale.ROOT))
        .toList();
  }

  /**
   * Reads the header row.
   *
   * @return the column of each field, the empty text for a field that has none; or {@code null}
   *     when this is no header row at all
   */
  @Nullable List<String> columns(CsvRow row) {
    if (row.flaw() != null) {
      problems.add(row.line(), null, row.flaw().message(), row.flaw().hint());
      return null;
    }
    List<String> names = names(row).subList(0, row.filledFields());
    if (names.stream().noneMatch(words.columns()::contains)) {
      problems.add(
          row.line(),
          null,
          "a header row was expected, found " + Cell.quote(String.join(",", row.fields()).strip()),
          "write " + String.join(",", words.columns()) + " as the first line of the table");
      return null;
    }
    List<String> columns = new ArrayList<>();
    for (String name : names) {
      columns.add(column(row.line(), name, columns));
    }
    for (String required : words.required()) {
      if (!columns.contains(required)) {
        problems.add(
            row.line(),
            required,
            "the header row has no column " + required,
            "add " + required + " to the header row, and its value to every line");
      }
    }
    return columns;
  }

  private String column(int line, String name, List<String> before) {
    if (name.isEmpty()) {
      return "";
    }
    if (before.contains(name)) {
      problems.add(
          line, name, "the header row has the column " + name + " twice", "leave one of the two");
      return "";
    }
    if (words.columns().contains(name)) {
      return name;
    }
    if (words.othersIgnored()) {
      return "";
    }
    String nearest = new Nearest(words.columns()).to(name);
    problems.add(
        line,
        Cell.quote(name),
        Cell.quote(name) + " is no known column",
        (nearest == null ? "" : "write " + nearest + " if that is meant; ")
            + "known columns are "
            + String.join(", ", words.columns()));
    return "";
  }
}
