package org.kerftally.daemon.intake;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.table.Problems;
import org.kerftally.daemon.intake.table.Row;
import org.kerftally.shared.job.Part;

/**
 * Collects the parts of one job and adds up the lines that mean the same part.
 *
 * <p>Counts are kept by part name, so one name of one material has one length; lines that repeat a
 * part add to its quantity. Notes that differ are joined. For one thread.
 */
final class PartList {

  /** The most pieces of one job. */
  static final int MAX_PIECES = 1_000_000;

  private static final int MAX_NOTE_CHARS = 400;

  private final Problems problems;
  private final Map<Key, Entry> entries = new LinkedHashMap<>();
  private long pieces;

  PartList(Problems problems) {
    this.problems = problems;
  }

  /** Adds a part that was read from a row, or the problem it makes. */
  void add(Row row, Part part) {
    Key key = new Key(part.name(), part.material());
    Entry before = entries.get(key);
    Part sum = before == null ? part : merged(row, before, part);
    if (sum == null) {
      return;
    }
    boolean fitted = pieces <= MAX_PIECES;
    pieces += part.quantity();
    if (pieces > MAX_PIECES && fitted) {
      problems.add(
          row.line(),
          row.path() + "qty",
          "the job has more than " + MAX_PIECES + " pieces from here on",
          "split it into several files");
    }
    entries.put(key, new Entry(before == null ? row : before.row(), sum));
  }

  private @Nullable Part merged(Row row, Entry before, Part part) {
    Part first = before.part();
    String place = place(before.row());
    if (!first.length().equals(part.length())) {
      problems.add(
          row.cell("length"),
          "the part " + row.cell("part").quoted() + " has another length " + place,
          "give one of the two another name, or both the same length");
      return null;
    }
    if (first.priority() != part.priority()) {
      problems.add(
          row.line(),
          row.path() + "priority",
          "the part has the priority " + first.priority() + " " + place,
          "write the same priority in both places");
      return null;
    }
    int quantity = first.quantity() + part.quantity();
    if (quantity > CellReader.MAX_QUANTITY) {
      problems.add(
          row.cell("qty"),
          "together with the quantity " + place + " it is more than " + CellReader.MAX_QUANTITY,
          "split the job into several files");
      return null;
    }
    return new Part(
        first.name(),
        first.length(),
        quantity,
        first.material(),
        first.priority(),
        joined(first.note(), part.note()));
  }

  private static String place(Row row) {
    String path = row.path();
    return path.isEmpty()
        ? "on line " + row.line()
        : "in " + path.substring(0, path.length() - 1) + " on line " + row.line();
  }

  private static @Nullable String joined(@Nullable String first, @Nullable String second) {
    if (first == null || second == null) {
      return first == null ? second : first;
    }
    boolean said = List.of(first.split("; ", -1)).contains(second);
    boolean fits = first.length() + second.length() + 2 <= MAX_NOTE_CHARS;
    return said || !fits ? first : first + "; " + second;
  }

  /** Returns the parts in the order of their first lines. */
  List<Part> list() {
    List<Part> parts = new ArrayList<>();
    entries.values().forEach(entry -> parts.add(entry.part()));
    return parts;
  }

  private record Key(String name, String material) {}

  private record Entry(Row row, Part part) {}
}
