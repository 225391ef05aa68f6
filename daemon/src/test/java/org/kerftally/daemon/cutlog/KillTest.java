package org.kerftally.daemon.cutlog;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.cutlog.Samples.cut;

import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.CutBooked;

/**
 * Kills a process in the middle of appends. What it said was written must be there, once, and of
 * every append either all or nothing.
 *
 * <p>A kill does not test that the disk was synced: what the process wrote outlives it in the
 * system's page cache.
 */
final class KillTest {

  private static final int ROUNDS = 5;
  private static final int CUTS_AN_APPEND = 3;
  private static final int MAX_ACKNOWLEDGED = 40;
  private static final long SEED = 20270301;

  @TempDir Path folder;

  @Test
  @Timeout(300)
  void whatWasAcknowledgedBeforeAKillIsThereOnce() throws Exception {
    Path db = folder.resolve("kerftally.db");
    SplittableRandom random = new SplittableRandom(SEED);
    long acknowledged = 0;
    for (int round = 0; round < ROUNDS; round++) {
      ChildJvm child = ChildJvm.start(AppendForever.class, db.toString());
      List<String> said = new ArrayList<>();
      try {
        for (int i = 1 + random.nextInt(MAX_ACKNOWLEDGED); i > 0; i--) {
          said.add(child.readLine());
        }
      } finally {
        said.addAll(child.kill());
      }
      acknowledged =
          Math.max(acknowledged, said.stream().mapToLong(Long::parseLong).max().orElse(0));

      try (CutLog log = CutLog.open(db, Clock.systemUTC())) {
        List<Long> counts = counts(log);
        assertThat(counts)
            .as("round %d, seed %d", round, SEED)
            .hasSizeGreaterThanOrEqualTo((int) acknowledged)
            .isEqualTo(LongStream.rangeClosed(1, counts.size()).boxed().toList());
        assertThat(counts.size() % CUTS_AN_APPEND).isZero();
        assertThat(log.cuts("supers")).hasSameSizeAs(counts);
        assertThat(log.verify()).isEmpty();
      }
    }
  }

  private static List<Long> counts(CutLog log) {
    List<Long> counts = new ArrayList<>();
    log.replay(
        (Recorded recorded) -> {
          if (recorded.event() instanceof CutBooked booked) {
            counts.add(booked.count());
          }
        });
    return counts;
  }

  /** Appends cuts counted on from what is there, and prints the last count once it is durable. */
  static final class AppendForever {

    private AppendForever() {}

    public static void main(String[] args) {
      try (CutLog log = CutLog.open(Path.of(args[0]), Clock.systemUTC())) {
        long count = counts(log).size();
        while (!System.out.checkError()) {
          List<Event> cuts = new ArrayList<>();
          for (int i = 0; i < CUTS_AN_APPEND; i++) {
            cuts.add(cut("b1", ++count));
          }
          log.append("saw1", cuts);
          ChildJvm.say(count);
        }
      }
    }
  }
}
