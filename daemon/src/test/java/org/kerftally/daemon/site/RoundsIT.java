package org.kerftally.daemon.site;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Runs jobs on real processes under seeded kills and link troubles. {@code -Dkerftally.rounds=N}
 * runs so many, the profile {@code rounds} a hundred; {@code -Dkerftally.rounds.seed=S} one of them
 * alone. What a failing round left is kept in {@code target/rounds}.
 */
final class RoundsIT {

  private static final int ROUNDS = Integer.getInteger("kerftally.rounds", 10);
  private static final Path KEPT = Path.of("target", "rounds");

  @TempDir Path temp;

  @Test
  void everyCutIsInTheLogOnceAndNothingMovesUnaskedWhateverDies() throws Exception {
    Mosquitto.require();
    Long one = Long.getLong("kerftally.rounds.seed");
    long from = one == null ? 1 : one;
    long to = one == null ? ROUNDS : one;
    RoundTally all = new RoundTally();
    for (long seed = from; seed <= to; seed++) {
      all.count("rounds", 1);
      all.add(run(RoundPlan.of(seed)));
    }
    System.out.println("rounds: " + all);
  }

  private RoundTally run(RoundPlan plan) throws IOException, InterruptedException {
    Path folder = Files.createDirectories(temp.resolve("round-" + plan.seed()));
    long start = System.nanoTime();
    try (Round round = new Round(plan, folder)) {
      try {
        List<String> wrong = round.run();
        if (!wrong.isEmpty()) {
          throw new AssertionError(String.join("\n", wrong));
        }
      } catch (RuntimeException | AssertionError e) {
        throw new AssertionError(failure(plan, round, e), e);
      }
      long seconds = (System.nanoTime() - start) / 1_000_000_000;
      System.out.println(
          "round " + plan.seed() + " " + plan.link() + " " + seconds + " s " + round.tally());
      return round.tally();
    }
  }

  private static String failure(RoundPlan plan, Round round, Throwable e)
      throws IOException, InterruptedException {
    String text =
        "round "
            + plan.seed()
            + ", once more: mvn verify -pl daemon -am -Dit.test=RoundsIT"
            + " -Dkerftally.rounds.seed="
            + plan.seed()
            + "\n"
            + e.getMessage()
            + "\n"
            + plan
            + "\n"
            + round.sideBySide();
    Files.createDirectories(KEPT);
    Files.writeString(KEPT.resolve("round-" + plan.seed() + ".txt"), text);
    return text;
  }
}
