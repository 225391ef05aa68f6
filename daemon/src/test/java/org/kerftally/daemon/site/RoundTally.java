package org.kerftally.daemon.site;

import java.util.Map;
import java.util.TreeMap;

/** Counts what happened in rounds, for one line at their end. */
final class RoundTally {

  private final Map<String, Long> counts = new TreeMap<>();

  void count(String what, long times) {
    counts.merge(what, times, Long::sum);
  }

  void add(RoundTally other) {
    other.counts.forEach(this::count);
  }

  @Override
  public String toString() {
    return counts.toString();
  }
}
