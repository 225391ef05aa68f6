package org.kerftally.daemon.cli;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.kerftally.protocol.probe.SignalReading;

/** Keeps what signals were, and how often each was seen to change. Not thread-safe. */
final class Watched {

  private final Map<String, String> values = new HashMap<>();
  private final Map<String, Integer> changes = new HashMap<>();

  /** Says that a signal is no longer what it was. */
  record Change(SignalReading reading, String before, int number) {

    /** Returns it as a line. */
    String text() {
      return reading.name()
          + "  "
          + reading.place()
          + "  "
          + before
          + " -> "
          + SignalTable.value(reading)
          + "  (change "
          + number
          + ")";
    }
  }

  /** Takes what the signals are now; returns those that changed. The first time none has. */
  List<Change> see(List<SignalReading> now) {
    List<Change> seen = new ArrayList<>();
    for (SignalReading reading : now) {
      String value = SignalTable.value(reading);
      String before = values.put(reading.name(), value);
      if (before != null && !before.equals(value)) {
        int number = Objects.requireNonNull(changes.merge(reading.name(), 1, Integer::sum));
        seen.add(new Change(reading, before, number));
      }
    }
    return seen;
  }

  /** Returns how often each signal that changed was seen to. */
  Map<String, Integer> changes() {
    return Map.copyOf(changes);
  }
}
