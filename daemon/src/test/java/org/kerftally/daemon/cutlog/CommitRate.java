package org.kerftally.daemon.cutlog;

import static org.kerftally.daemon.cutlog.Samples.cut;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.Arrays;
import java.util.List;

/**
 * Measures how fast durable appends are on the disk of a folder: one cut a commit. Run it by hand
 * with the folder as its argument; it is no test.
 */
final class CommitRate {

  private static final int WARM_UP = 500;
  private static final int MEASURED = 3_000;

  private CommitRate() {}

  public static void main(String[] args) throws Exception {
    Path db = Files.createTempDirectory(Path.of(args[0]), "rate").resolve("kerftally.db");
    try (CutLog log = CutLog.open(db, Clock.systemUTC())) {
      long count = 0;
      while (count < WARM_UP) {
        log.append("saw1", List.of(cut("b1", ++count)));
      }
      long[] nanos = new long[MEASURED];
      for (int i = 0; i < MEASURED; i++) {
        long begin = System.nanoTime();
        log.append("saw1", List.of(cut("b1", ++count)));
        nanos[i] = System.nanoTime() - begin;
      }
      long sum = Arrays.stream(nanos).sum();
      Arrays.sort(nanos);
      System.out.printf(
          "%d commits/s, median %d us, 99 %% below %d us%n",
          MEASURED * 1_000_000_000L / sum,
          nanos[MEASURED / 2] / 1000,
          nanos[MEASURED * 99 / 100] / 1000);
    }
  }
}
