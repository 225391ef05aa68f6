package org.kerftally.daemon.site;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.Acknowledged;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;

/**
 * Holds how long a station's link was away each time, as its log tells.
 *
 * @param away from "down" to "up", in milliseconds
 * @param held from "up" to the acknowledge, in milliseconds
 * @param reasons why it went down, and how often
 */
record LinkTimes(List<Double> away, List<Double> held, Map<String, Integer> reasons) {

  private static final int MAX_REASON = 100;

  static LinkTimes of(List<Recorded> events) {
    List<Double> away = new ArrayList<>();
    List<Double> held = new ArrayList<>();
    Map<String, Integer> reasons = new TreeMap<>();
    Instant down = null;
    Instant up = null;
    for (Recorded recorded : events) {
      if (recorded.event() instanceof LinkDown lost) {
        down = recorded.at();
        up = null;
        String reason = lost.reason().replaceAll("[0-9a-f]{32,}|\\d+", "N");
        reasons.merge(reason.substring(0, Math.min(MAX_REASON, reason.length())), 1, Integer::sum);
      } else if (recorded.event() instanceof LinkUp && down != null) {
        away.add(millis(down, recorded.at()));
        down = null;
        up = recorded.at();
      } else if (recorded.event() instanceof Acknowledged && up != null) {
        held.add(millis(up, recorded.at()));
        up = null;
      }
    }
    return new LinkTimes(away, held, reasons);
  }

  private static double millis(Instant from, @Nullable Instant to) {
    return to == null ? 0 : Duration.between(from, to).toMillis();
  }

  /** Returns it in words. */
  List<String> lines() {
    List<String> lines = new ArrayList<>();
    lines.add("  " + away.size() + " reconnects, ms from down to up: " + spread(away));
    lines.add("  ms from up to acknowledge: " + spread(held));
    reasons.forEach((reason, times) -> lines.add("  " + times + " x " + reason));
    return lines;
  }

  private static String spread(List<Double> values) {
    if (values.isEmpty()) {
      return "none";
    }
    List<Double> sorted = values.stream().sorted().toList();
    return String.format(
        Locale.ROOT,
        "min %.0f, median %.0f, max %.0f",
        sorted.get(0),
        Samples.median(sorted),
        sorted.get(sorted.size() - 1));
  }
}
