package org.kerftally.daemon.intake.table;

import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Holds what a file says, as cells, before anyone judges their values.
 *
 * @param keys the values that stand for the whole file ({@code # units: mm}), by key
 * @param columns the columns that a row can have
 * @param rows the rows that hold anything, in the file's order
 * @param decimalComma whether {@code 505,5} is a number
 */
public record Table(
    Map<String, Cell> keys, Set<String> columns, List<Row> rows, boolean decimalComma) {

  /** Copies the collections. */
  public Table {
    keys = Map.copyOf(keys);
    columns = Set.copyOf(columns);
    rows = List.copyOf(rows);
  }

  /** Returns a value that stands for the whole file, or {@code null} when nothing is written. */
  public @Nullable Cell key(String key) {
    Cell cell = keys.get(key);
    return cell == null || cell.isEmpty() ? null : cell;
  }
}
