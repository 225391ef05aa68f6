package org.kerftally.daemon.planning.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/**
 * Sums rows up by class, and all together.
 *
 * <p>Median, 95th percentile and maximum are over the times of all instances of a class, proven or
 * not; a percentile is the smallest time that so many of a hundred do not exceed (nearest rank).
 */
public final class ClassTable {

  private static final double[] WITHIN_SECONDS = {1, 10, 60};

  private final Map<String, List<BenchRow>> byGroup = new TreeMap<>();
  private final List<BenchRow> all = new ArrayList<>();

  /** Makes an empty table. */
  public ClassTable() {}

  /** Counts a row in. */
  public void add(BenchRow row) {
    byGroup.computeIfAbsent(row.group(), key -> new ArrayList<>()).add(row);
    all.add(row);
  }

  /** Returns how many rows hold a wrong plan or bound. */
  public long wrong() {
    return wrong(all);
  }

  /** Returns the table as text, a line a class, as Markdown reads it. */
  public String text() {
    StringBuilder text = new StringBuilder();
    text.append(
        String.format(
            Locale.ROOT,
            "| %-16s | %9s | %6s | %5s | %9s | %9s | %9s | %6s | %6s | %6s | %5s |%n",
            "class",
            "instances",
            "proved",
            "found",
            "median s",
            "95 % s",
            "max s",
            "≤ 1 s",
            "≤ 10 s",
            "≤ 60 s",
            "wrong"));
    text.append("|---|---|---|---|---|---|---|---|---|---|---|\n");
    byGroup.forEach((group, rows) -> text.append(line(group, rows)));
    if (byGroup.size() > 1) {
      text.append(line("all", all));
    }
    return text.toString();
  }

  private static String line(String name, List<BenchRow> rows) {
    double[] seconds = rows.stream().mapToDouble(BenchRow::seconds).sorted().toArray();
    return String.format(
        Locale.ROOT,
        "| %-16s | %9d | %6d | %5d | %9.4f | %9.4f | %9.4f | %6d | %6d | %6d | %5d |%n",
        name,
        rows.size(),
        rows.stream().filter(BenchRow::proven).count(),
        rows.stream().filter(BenchRow::found).count(),
        percentile(seconds, 50),
        percentile(seconds, 95),
        percentile(seconds, 100),
        within(rows, WITHIN_SECONDS[0]),
        within(rows, WITHIN_SECONDS[1]),
        within(rows, WITHIN_SECONDS[2]),
        wrong(rows));
  }

  private static long within(List<BenchRow> rows, double seconds) {
    return rows.stream().filter(row -> row.proven() && row.seconds() <= seconds).count();
  }

  private static long wrong(List<BenchRow> rows) {
    return rows.stream().filter(row -> !row.faults().isEmpty()).count();
  }

  /** Returns the smallest of sorted values that so many of a hundred do not exceed. */
  static double percentile(double[] sorted, int percent) {
    if (sorted.length == 0) {
      return 0;
    }
    int rank = (sorted.length * percent + 99) / 100;
    return sorted[Math.max(0, rank - 1)];
  }
}
