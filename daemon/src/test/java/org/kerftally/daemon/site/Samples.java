package org.kerftally.daemon.site;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/** Keeps what was measured over time, in memory and as lines of a CSV file, and sums it up. */
final class Samples {

  /** How much of the beginning is left out of medians and slopes: classes load, caches fill. */
  static final double WARM_UP_SECONDS = 600;

  private static final double HOUR_SECONDS = 3_600;

  private final Path file;
  private final List<Map<String, Double>> all = new ArrayList<>();

  Samples(Path file) {
    this.file = file;
  }

  /** Adds what was measured at one moment; the columns are always the same. */
  void add(Map<String, Double> sample) throws IOException {
    if (all.isEmpty()) {
      append(String.join(",", sample.keySet()));
    }
    all.add(new LinkedHashMap<>(sample));
    append(
        String.join(
            ",",
            sample.values().stream().map(v -> String.format(Locale.ROOT, "%.0f", v)).toList()));
  }

  private void append(String line) throws IOException {
    Files.writeString(file, line + "\n", StandardOpenOption.CREATE, StandardOpenOption.APPEND);
  }

  /** Returns a table: least, median, most, first and last quarter's median, slope an hour. */
  List<String> table(double warmUpSeconds) {
    List<String> lines = new ArrayList<>();
    lines.add("| | min | median | max | first quarter | last quarter | slope an hour |");
    lines.add("| --- | --- | --- | --- | --- | --- | --- |");
    List<Map<String, Double>> warm =
        all.stream().filter(s -> s.get("seconds") >= warmUpSeconds).toList();
    if (warm.size() < 4) {
      return lines;
    }
    int quarter = warm.size() / 4;
    for (String name : warm.get(0).keySet()) {
      if (name.equals("seconds")) {
        continue;
      }
      List<Double> values = warm.stream().map(s -> s.get(name)).toList();
      lines.add(
          String.format(
              Locale.ROOT,
              "| %s | %.0f | %.0f | %.0f | %.0f | %.0f | %+.1f |",
              name,
              values.stream().mapToDouble(v -> v).min().orElse(0),
              median(values),
              values.stream().mapToDouble(v -> v).max().orElse(0),
              median(values.subList(0, quarter)),
              median(values.subList(values.size() - quarter, values.size())),
              slope(warm, name)));
    }
    return lines;
  }

  static double median(List<Double> values) {
    List<Double> sorted = values.stream().sorted().toList();
    return sorted.get(sorted.size() / 2);
  }

  /** The slope of the line of least squares. */
  private static double slope(List<Map<String, Double>> warm, String name) {
    double n = warm.size();
    double meanX = warm.stream().mapToDouble(s -> s.get("seconds")).sum() / n;
    double meanY = warm.stream().mapToDouble(s -> s.get(name)).sum() / n;
    double over = 0;
    double under = 0;
    for (Map<String, Double> s : warm) {
      double x = s.get("seconds") - meanX;
      over += x * (s.get(name) - meanY);
      under += x * x;
    }
    return under == 0 ? 0 : over / under * HOUR_SECONDS;
  }
}
