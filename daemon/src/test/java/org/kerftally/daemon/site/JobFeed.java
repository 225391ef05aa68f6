package org.kerftally.daemon.site;

import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.random.RandomGenerator;

/** Drops jobs so that no station runs dry, as an office does that looks now and then. */
final class JobFeed {

  /** What a station has before it at least: more than it cuts between two looks. */
  private static final int LEAST_AHEAD = 120;

  private static final int LINES = 6;
  private static final int MAX_JOBS = 100_000;

  private final SiteFolder folder;
  private final List<String> stations;
  private final RandomGenerator random;
  private final Map<String, Integer> dropped = new LinkedHashMap<>();
  private int jobs;

  JobFeed(SiteFolder folder, List<String> stations, RandomGenerator random) {
    this.folder = folder;
    this.stations = stations;
    this.random = random;
  }

  /** Returns how many jobs were dropped. */
  int jobs() {
    return jobs;
  }

  /** Returns how many pieces were asked for. */
  int pieces() {
    return dropped.values().stream().mapToInt(n -> n).sum();
  }

  /** Looks how much is left to make, and drops what is missing. */
  void feed() throws IOException {
    for (String station : stations) {
      int ahead = dropped.getOrDefault(station, 0) - made(station);
      while (ahead < LEAST_AHEAD && jobs < MAX_JOBS) {
        ahead += drop(station);
      }
    }
  }

  private int drop(String station) throws IOException {
    List<String> lines = new ArrayList<>();
    lines.add("# station: " + station);
    lines.add("part,length,qty,material");
    int pieces = 0;
    for (int i = 1; i <= LINES; i++) {
      int quantity = random.nextInt(10, 40);
      pieces += quantity;
      lines.add(
          "bar " + i + "," + (i * 100 + random.nextInt(90)) + "," + quantity + ",pine-19x146");
    }
    jobs++;
    folder.drop(
        String.format(Locale.ROOT, "%s-%05d.csv", station, jobs), lines.toArray(String[]::new));
    dropped.merge(station, pieces, Integer::sum);
    return pieces;
  }

  private int made(String station) {
    List<String> rows =
        folder.rows("select sum(made) from job_counts where job like '" + station + "-%'");
    return rows.isEmpty() || rows.get(0).equals("null") ? 0 : Integer.parseInt(rows.get(0));
  }

  /** Tells whether every piece that was asked for is made. */
  boolean isMade() {
    return stations.stream().allMatch(s -> made(s) >= dropped.getOrDefault(s, 0));
  }
}
