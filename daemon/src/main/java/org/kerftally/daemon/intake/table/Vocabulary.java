package org.kerftally.daemon.intake.table;

import java.util.List;
import org.kerftally.shared.csv.FormulaGuard;

/**
 * Names what a kind of file can say.
 *
 * @param columns every column, in the order people are told of
 * @param required the columns that must be there
 * @param keys the keys that stand for the whole file
 * @param breaksAllowedIn the column in which a line break is read as a blank
 * @param guarded whether the service wrote it, with guards against formulas that are taken off
 * @param othersIgnored whether the file may hold anything else beside: columns of any name, and any
 *     line that begins with {@code #}
 */
public record Vocabulary(
    List<String> columns,
    List<String> required,
    List<String> keys,
    String breaksAllowedIn,
    boolean guarded,
    boolean othersIgnored) {

  /** What a job file can say. */
  public static final Vocabulary JOB =
      new Vocabulary(
          List.of("part", "length", "qty", "material", "priority", "note"),
          List.of("length", "qty"),
          List.of("job", "due", "units", "priority", "station"),
          "note",
          false,
          false);

  /** What a stock file can say. */
  public static final Vocabulary STOCK =
      new Vocabulary(
          List.of("material", "length", "qty", "cost", "kind", "label"),
          List.of("length"),
          List.of("units"),
          "",
          false,
          false);

  /** What the service's own list of offcuts can say. */
  public static final Vocabulary OFFCUTS =
      new Vocabulary(STOCK.columns, STOCK.required, STOCK.keys, STOCK.breaksAllowedIn, true, false);

  /** What a list of pieces that were cut and measured can say, each column in the given unit. */
  public static Vocabulary pieces(String unit) {
    List<String> both = List.of("target_" + unit, "measured_" + unit);
    return new Vocabulary(both, both, List.of(), "", false, true);
  }

  /** Copies the lists. */
  public Vocabulary {
    columns = List.copyOf(columns);
    required = List.copyOf(required);
    keys = List.copyOf(keys);
  }

  /**
   * Turns what a file holds into a cell, and reports what a value may not hold.
   *
   * @param line the line it begins on
   * @param name the column's or key's plain name
   * @param path the same as a problem names it
   * @param raw the text as the file has it
   */
  Cell cell(int line, String name, String path, String raw, Problems problems) {
    String unbroken = name.equals(breaksAllowedIn) ? raw.replaceAll("\\R", " ") : raw;
    String clean = CellText.clean(unbroken);
    Cell cell = new Cell(line, path, guarded ? FormulaGuard.take(clean) : clean, false);
    String flaw = CellText.flaw(cell.text());
    if (flaw == null) {
      return cell;
    }
    problems.add(
        cell,
        flaw,
        "write it in one line with at most " + CellText.MAX_CHARS + " plain characters");
    return new Cell(line, path, cell.text(), true);
  }
}
