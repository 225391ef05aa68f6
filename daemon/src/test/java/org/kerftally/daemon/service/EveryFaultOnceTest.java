package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.cutlog.LogCheck;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.slf4j.LoggerFactory;

/**
 * Lets every single operation on a file or the database fail, one a run, until a run ends without
 * the fault having had its turn: then every operation of the scenario has failed once.
 *
 * <p>The scenario: a stock file and a job are dropped, the job is taken, planned and cut, results
 * and an offcut are written, then another stock file and a second job come and the offcut is used
 * up or not, as the planner likes. After each run nothing that was acknowledged may be missing, no
 * cut be booked twice, and all files be as without a fault. To replay a failure, run the kind and
 * number that it names.
 */
final class EveryFaultOnceTest {

  private static final long SEED = 20270303;
  private static final int MAX_STEPS = 400;
  private static final int MAX_LIVES = 3;

  /**
   * How many runs of a kind are made one after the other; beyond, one in a dozen is. Give a high
   * number to have them all, which takes minutes.
   */
  private static final int WHOLE_RUNS = Integer.getInteger("kerftally.faults.whole", 25);

  private static final int SAMPLE_STRIDE = 24;

  /** Passes without a word: the file is not there, and is deleted again with the next look. */
  private static final String MAY_BE_SILENT = "FILE: delete stock.why.txt";

  @TempDir static Path temp;

  private static FaultOnce faults = FaultOnce.never();
  private static FaultyDatabase database;
  private static int runs;

  /** Every fault is logged as it should be; some hundred of them are of no use to a reader. */
  private static final Logger LOGGER = (Logger) LoggerFactory.getLogger("org.kerftally");

  private static @Nullable Level usual;

  @BeforeAll
  static void install() throws Exception {
    usual = LOGGER.getLevel();
    LOGGER.setLevel(Level.OFF);
    database = FaultyDatabase.install(() -> faults);
  }

  @AfterAll
  static void restore() throws Exception {
    database.close();
    LOGGER.setLevel(usual);
  }

  /** Says what a run came to. */
  private record Outcome(FaultOnce fault, int lives, List<String> said) {}

  private static Outcome run(FaultOnce fault) throws Exception {
    faults = fault;
    SmallShop shop = new SmallShop(temp.resolve("run" + ++runs), fault);
    String where = fault.kind + " run " + runs;
    List<RuntimeException> deaths = new ArrayList<>();
    for (int step = 0; step < MAX_STEPS && !shop.isDone(); step++) {
      try {
        shop.step();
      } catch (RuntimeException e) {
        deaths.add(e);
        assertThat(fault.failed()).as("%s died without a fault: %s", where, e).isNotNull();
        assertThat(deaths).as("%s, %s: %s", where, fault.failed(), e).hasSizeLessThan(MAX_LIVES);
      }
      for (String file : SmallShop.JOBS.keySet()) {
        if (file.equals("supers.csv") || shop.secondDropped()) {
          assertThat(shop.foldersOf(file)).as("%s, %s: %s", where, fault.failed(), file).hasSize(1);
        }
      }
    }
    where = where + ", failed: " + fault.failed() + ", said " + shop.said + ", died " + deaths;
    assertThat(shop.isDone()).as(where).isTrue();
    shop.kill();
    faults = FaultOnce.never();
    checkShop(where, shop);
    return new Outcome(fault, 1 + deaths.size(), shop.said);
  }

  private static void checkShop(String where, SmallShop shop) throws IOException {
    assertThat(shop.breaches).as(where).isEmpty();
    Path db = shop.folder.resolve("kerftally.db");
    assertThat(LogCheck.of(db).problems()).as(where).isEmpty();
    List<Recorded> events = new ArrayList<>();
    try (CutLog log = CutLog.open(db, Clock.systemUTC())) {
      log.replay(events::add);
      assertThat(log.jobCounts())
          .as(where)
          .allSatisfy(c -> assertThat(c.made()).isEqualTo(c.wanted()))
          .hasSize(2);
    }
    assertThat(events).as(where).containsAll(shop.acknowledged.values());
    List<CutBooked> booked =
        events.stream()
            .map(Recorded::event)
            .filter(CutBooked.class::isInstance)
            .map(CutBooked.class::cast)
            .toList();
    assertThat(booked).as(where).extracting(CutBooked::seq).isEqualTo(shop.saw.cuts);
    assertThat(booked).as(where).extracting(CutBooked::kind).containsOnly(CutKind.PART);
    assertThat(shop.saw.cuts).as(where).hasSize(3).doesNotHaveDuplicates();
    for (String file : SmallShop.JOBS.keySet()) {
      assertThat(shop.foldersOf(file)).as(where).containsExactly("taken");
    }
    assertThat(results(shop, "supers", "counts.csv"))
        .as(where)
        .contains("super side")
        .contains(",2,2,0,0,");
    assertThat(results(shop, "supers", "cuts.csv")).as(where).hasLineCount(3);
    assertThat(results(shop, "stands", "counts.csv")).as(where).contains(",1,1,0,0,");
    assertThat(results(shop, "stands", "plan.json")).as(where).contains("\"status\"");
    assertThat(results(shop, "stands", "sheet.html")).as(where).contains("leg");
    assertThat(shop.folder.resolve("offcuts.csv")).as(where).content().contains("saw1-");
  }

  private static String results(SmallShop shop, String job, String file) throws IOException {
    return Files.readString(shop.folder.resolve("results").resolve(job).resolve(file));
  }

  @Test
  @Timeout(600)
  void whicheverOperationFailsNothingIsLostNothingCountedTwiceAndAllIsMadeInTheEnd()
      throws Exception {
    assertThat(run(FaultOnce.never()).lives()).isEqualTo(1);
    Map<FaultOnce.Kind, Integer> made = new EnumMap<>(FaultOnce.Kind.class);
    TreeSet<String> silent = new TreeSet<>();
    SplittableRandom random = new SplittableRandom(SEED);
    for (FaultOnce.Kind kind : FaultOnce.Kind.values()) {
      int at = 1;
      Outcome outcome = run(new FaultOnce(kind, at));
      while (outcome.fault().failed() != null) {
        made.merge(kind, 1, Integer::sum);
        if (outcome.lives() == 1 && outcome.said().isEmpty()) {
          silent.add(kind + ": " + outcome.fault().failed());
        }
        at += at < WHOLE_RUNS ? 1 : 1 + random.nextInt(SAMPLE_STRIDE);
        outcome = run(new FaultOnce(kind, at));
      }
      System.out.println(kind + ": " + made.get(kind) + " faults up to operation " + at);
    }
    assertThat(silent).as("faults of which nothing was said").isSubsetOf(MAY_BE_SILENT);
    assertThat(made.keySet()).containsExactly(FaultOnce.Kind.values());
  }
}
