package org.kerftally.daemon.results;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;

/**
 * Writes the sticks of one material as a table: how many are cut by each pattern, what is cut from
 * one of them, and what remains of it.
 *
 * <p>The column of cuts takes what width is left and goes on below itself; the others are as wide
 * as their widest cell, and labels are cut short.
 */
final class MaterialTable {

  private static final int MAX_LABEL_CHARS = 20;
  private static final int LEAST_CUTS_COLUMNS = 12;
  private static final String GAP = "  ";

  private final UnitText unit;
  private final int width;
  private final List<Row> rows = new ArrayList<>();

  private record Row(
      String name, String sticks, String length, String from, List<String> cuts, String rest) {}

  /**
   * Sets up a table.
   *
   * @param width how many columns it may take
   */
  MaterialTable(UnitText unit, int width) {
    this.unit = unit;
    this.width = width;
  }

  /** Adds a row for sticks cut alike. */
  void add(String name, PlannedSticks sticks) {
    String rest = sticks.rest().isPositive() ? unit.bare(sticks.rest()) : "-";
    rows.add(
        new Row(
            name,
            sticks.repeat() + " ×",
            unit.bare(sticks.length()),
            from(sticks),
            cuts(sticks),
            sticks.offcut() == null ? rest : rest + " keep"));
  }

  private static String from(PlannedSticks sticks) {
    String kind = sticks.kind() == StickKind.NEW ? "" : sticks.kind().word();
    String label = sticks.label() == null ? "" : TerminalText.cut(sticks.label(), MAX_LABEL_CHARS);
    return kind.isEmpty() || label.isEmpty() ? kind + label : kind + " " + label;
  }

  /** Returns the lengths cut from one stick in order, equal ones in a row taken together. */
  private List<String> cuts(PlannedSticks sticks) {
    List<String> words = new ArrayList<>();
    int i = 0;
    while (i < sticks.cuts().size()) {
      Length length = sticks.cuts().get(i).length();
      int times = 0;
      while (i < sticks.cuts().size() && sticks.cuts().get(i).length().equals(length)) {
        times++;
        i++;
      }
      words.add(times == 1 ? unit.bare(length) : times + " × " + unit.bare(length));
    }
    return words;
  }

  /** Returns the lines of the table, its head first. */
  List<String> lines() {
    Row head = new Row("", "sticks", "length", "", List.of("cuts"), "rest");
    List<Row> all = new ArrayList<>(List.of(head));
    all.addAll(rows);
    int name = all.stream().mapToInt(row -> row.name().length()).max().orElse(0);
    int sticks = all.stream().mapToInt(row -> row.sticks().length()).max().orElse(0);
    int length = all.stream().mapToInt(row -> row.length().length()).max().orElse(0);
    int from = all.stream().mapToInt(row -> row.from().length()).max().orElse(0);
    int rest = all.stream().mapToInt(row -> row.rest().length()).max().orElse(0);
    int gaps = (from == 0 ? 4 : 5) * GAP.length();
    int room = Math.max(LEAST_CUTS_COLUMNS, width - name - sticks - length - from - rest - gaps);
    int cuts =
        Math.min(
            room,
            all.stream().mapToInt(row -> String.join(", ", row.cuts()).length()).max().orElse(0));
    List<String> lines = new ArrayList<>();
    for (Row row : all) {
      List<String> wrapped = TerminalText.wrapped(row.cuts(), ", ", cuts);
      for (int i = 0; i < wrapped.size(); i++) {
        boolean first = i == 0;
        StringBuilder line = new StringBuilder();
        line.append(left(first ? row.name() : "", name)).append(GAP);
        line.append(right(first ? row.sticks() : "", sticks)).append(GAP);
        line.append(right(first ? row.length() : "", length)).append(GAP);
        if (from > 0) {
          line.append(left(first ? row.from() : "", from)).append(GAP);
        }
        line.append(left(wrapped.get(i), cuts)).append(GAP);
        line.append(right(first ? row.rest() : "", rest));
        lines.add(line.toString().stripTrailing());
      }
    }
    return lines;
  }

  /** Returns how many sticks of each length these are: {@code 5 × 3600 mm, 3 × 4800 mm}. */
  static String byLength(List<PlannedSticks> sticks, UnitText unit) {
    Map<Length, Integer> counts = new LinkedHashMap<>();
    sticks.forEach(some -> counts.merge(some.length(), some.repeat(), Integer::sum));
    List<String> words = new ArrayList<>();
    counts.forEach((length, count) -> words.add(count + " × " + unit.full(length)));
    return String.join(", ", words);
  }

  private static String left(String text, int columns) {
    return text + " ".repeat(Math.max(0, columns - text.length()));
  }

  private static String right(String text, int columns) {
    return " ".repeat(Math.max(0, columns - text.length())) + text;
  }
}
