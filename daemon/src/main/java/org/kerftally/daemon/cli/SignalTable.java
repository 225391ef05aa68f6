package org.kerftally.daemon.cli;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.protocol.probe.SignalReading;

/** Sets signals out in columns. Pure: the time is given. */
final class SignalTable {

  private static final String NONE = "-";
  private static final String GAP = "  ";

  private SignalTable() {}

  /** Returns a heading and a row for each signal: what it is, how old and how good. */
  static List<String> whole(List<SignalReading> readings, Instant now) {
    List<List<String>> rows = new ArrayList<>();
    rows.add(List.of("signal", "where", "device says", "understood as", "age", "quality"));
    for (SignalReading r : readings) {
      rows.add(
          List.of(
              r.name(),
              r.place(),
              orNone(r.value()),
              orNone(r.understood()),
              age(r, now),
              r.quality()));
    }
    return aligned(rows);
  }

  /**
   * Returns a heading and a row for each signal: what it is, how often and when it last changed.
   *
   * @param changes how often each signal was seen to change, nothing for never
   */
  static List<String> live(
      List<SignalReading> readings, Map<String, Integer> changes, Instant now) {
    List<List<String>> rows = new ArrayList<>();
    rows.add(List.of("signal", "where", "value", "changed"));
    for (SignalReading r : readings) {
      rows.add(List.of(r.name(), r.place(), value(r), changed(r, changes, now)));
    }
    return aligned(rows);
  }

  /** Returns what a signal is: as it is understood, else as the device says it. */
  static String value(SignalReading reading) {
    if (reading.understood() != null) {
      return reading.understood();
    }
    return reading.value() == null ? reading.quality() : reading.value() + " (not understood)";
  }

  private static String changed(SignalReading reading, Map<String, Integer> changes, Instant now) {
    Instant at = reading.changedAt();
    if (at == null) {
      return "no change seen";
    }
    int times = Math.max(1, changes.getOrDefault(reading.name(), 1));
    return (times == 1 ? "once, " : times + " times, last ") + span(at, now) + " ago";
  }

  private static String age(SignalReading reading, Instant now) {
    Instant at = reading.at();
    if (at == null) {
      return reading.value() == null ? NONE : "read now";
    }
    return span(at, now) + (reading.ofDevice() ? " by the device's clock" : " since heard");
  }

  private static String span(Instant from, Instant to) {
    return String.format(Locale.ROOT, "%.1f s", Duration.between(from, to).toMillis() / 1_000.0);
  }

  private static String orNone(@Nullable String text) {
    return text == null ? NONE : text;
  }

  private static List<String> aligned(List<List<String>> rows) {
    int columns = rows.get(0).size();
    int[] widths = new int[columns];
    for (List<String> row : rows) {
      for (int i = 0; i < columns; i++) {
        widths[i] = Math.max(widths[i], row.get(i).length());
      }
    }
    List<String> lines = new ArrayList<>();
    for (List<String> row : rows) {
      StringBuilder line = new StringBuilder();
      for (int i = 0; i < columns; i++) {
        line.append(GAP).append(row.get(i)).append(" ".repeat(widths[i] - row.get(i).length()));
      }
      lines.add(line.toString().stripTrailing());
    }
    return lines;
  }
}
