package org.kerftally.daemon.intake.table;

import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Holds one row of a file: a line of a CSV file or an object of a JSON file.
 *
 * @param line the line it begins on
 * @param path what stands before a column's name in a problem: empty, or {@code parts[3].}
 * @param cells the cells by column name; a column that is not written here may be missing
 */
public record Row(int line, String path, Map<String, Cell> cells) {

  /** Copies the map. */
  public Row {
    cells = Map.copyOf(cells);
  }

  /** Returns a cell with something written in it, or {@code null}. */
  public @Nullable Cell filled(String column) {
    Cell cell = cells.get(column);
    return cell == null || cell.isEmpty() ? null : cell;
  }

  /** Returns a cell, an empty one at the row's own line where it is missing. */
  public Cell cell(String column) {
    Cell cell = cells.get(column);
    return cell == null ? Cell.empty(line, path + column) : cell;
  }
}
