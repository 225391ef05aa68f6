package org.kerftally.daemon.intake;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.table.Cell;
import org.kerftally.daemon.intake.table.Problems;
import org.kerftally.daemon.intake.table.Row;
import org.kerftally.daemon.intake.table.Table;
import org.kerftally.daemon.intake.table.Vocabulary;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Reads a stock file, the office's {@code stock.csv} or the service's {@code offcuts.csv}:
 *
 * <pre>
 * # units: mm                              may be missing
 * material,length,qty,cost,kind,label      only length is required
 * pine-19x146,2440,,8.50,new,              qty empty: as many as needed
 * pine-19x146,871.2,1,,offcut,A-17         cost empty: in proportion to length
 * </pre>
 *
 * <p>{@code kind} is {@code new} where it is not written. Either every line names its material or
 * none does. Lines that are the same but for their quantity are added up. A header row with nothing
 * below it states an empty rack; a file without one is refused, for it may be half written. Bounds
 * are those of a job file. From {@code offcuts.csv} alone the apostrophes are taken off that its
 * writer puts before what a spreadsheet would take for a formula. Safe for use by any thread.
 */
public final class StockFileReader {

  private static final String OFFCUTS_FILE = "offcuts.csv";

  private final Table table;
  private final Problems problems;
  private final CellReader cells;
  private final Map<StockItem, StockItem> items = new LinkedHashMap<>();
  private @Nullable Row named;
  private @Nullable Row unnamed;

  private StockFileReader(Table table, Problems problems) {
    this.table = table;
    this.problems = problems;
    this.cells = new CellReader(problems, table.decimalComma());
  }

  /**
   * Reads a whole file whose bare numbers are millimetres unless it says otherwise.
   *
   * @param bytes its content, bounded by the caller
   * @param fileName its name, for the problems
   */
  public static StockReading read(byte[] bytes, String fileName) {
    return read(bytes, fileName, LengthUnit.MM);
  }

  /** Reads a whole file whose bare numbers are in the given unit unless it says otherwise. */
  public static StockReading read(byte[] bytes, String fileName, LengthUnit unit) {
    Problems problems = new Problems(fileName);
    Vocabulary words = fileName.equals(OFFCUTS_FILE) ? Vocabulary.OFFCUTS : Vocabulary.STOCK;
    Table table = JobFileReader.table(bytes, fileName, words, problems);
    if (table == null) {
      return new StockReading.Bad(problems.list());
    }
    List<StockItem> items = new StockFileReader(table, problems).read(unit);
    return problems.isEmpty()
        ? new StockReading.Good(items)
        : new StockReading.Bad(problems.list());
  }

  private List<StockItem> read(LengthUnit unit) {
    Cell units = table.key("units");
    LengthUnit written = units == null ? null : cells.unit(units);
    for (Row row : table.rows()) {
      row(row, written == null ? unit : written);
    }
    if (named != null && unnamed != null) {
      problems.add(
          unnamed.cell("material"),
          "no material is written, and line " + named.line() + " names one",
          "write the material on every line");
    }
    return new ArrayList<>(items.values());
  }

  private void row(Row row, LengthUnit unit) {
    Cell material = row.cell("material");
    Length length =
        table.columns().contains("length") ? cells.length(row.cell("length"), unit) : null;
    Cell qty = row.filled("qty");
    Integer quantity = qty == null ? null : cells.quantity(qty, 0);
    Cell price = row.filled("cost");
    BigDecimal cost = price == null ? null : cells.cost(price);
    StickKind kind = kind(row.cell("kind"));
    Cell label = row.filled("label");
    if (material.isEmpty()) {
      unnamed = unnamed == null ? row : unnamed;
    } else {
      named = named == null ? row : named;
    }
    if (length == null || kind == null || material.refused()) {
      return;
    }
    boolean unfit =
        (qty != null && quantity == null)
            || (price != null && cost == null)
            || (label != null && label.refused());
    if (!unfit) {
      String mark = label == null ? null : label.text();
      add(row, new StockItem(material.text(), length, quantity, cost, kind, mark));
    }
  }

  private @Nullable StickKind kind(Cell cell) {
    if (cell.refused()) {
      return null;
    }
    String word = cell.text().toLowerCase(Locale.ROOT);
    if (word.isEmpty() || word.equals(StickKind.NEW.word())) {
      return StickKind.NEW;
    }
    if (word.equals(StickKind.OFFCUT.word())) {
      return StickKind.OFFCUT;
    }
    problems.add(cell, cell.quoted() + " is no known kind", "write new or offcut");
    return null;
  }

  private void add(Row row, StockItem item) {
    StockItem key = withQuantity(item, null);
    StockItem before = items.get(key);
    Integer had = before == null ? Integer.valueOf(0) : before.quantity();
    Integer more = item.quantity();
    if (had == null || more == null) {
      items.put(key, key);
    } else if (had + more > CellReader.MAX_QUANTITY) {
      problems.add(
          row.cell("qty"),
          "together with the same line above it is more than " + CellReader.MAX_QUANTITY,
          "leave it empty for as many as needed");
    } else {
      items.put(key, withQuantity(item, had + more));
    }
  }

  private static StockItem withQuantity(StockItem item, @Nullable Integer quantity) {
    return new StockItem(
        item.material(), item.length(), quantity, item.cost(), item.kind(), item.label());
  }
}
