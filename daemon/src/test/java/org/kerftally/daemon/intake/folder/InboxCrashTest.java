package org.kerftally.daemon.intake.folder;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.intake.folder.Site.BAD;
import static org.kerftally.daemon.intake.folder.Site.ENDS;
import static org.kerftally.daemon.intake.folder.Site.SIDES;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.kerftally.daemon.intake.folder.FaultPlan.Fault;

/**
 * Fails the Nth step, for N = 1, 2, 3 … until no step is left to fail, starts again where the
 * process ended, and looks whether every file is in exactly one folder and every job in the log
 * exactly once.
 */
class InboxCrashTest {

  /** Beyond any number of steps that the scenarios have. */
  private static final int MAX_STEPS = 2_000;

  @TempDir private Path root;

  @ParameterizedTest
  @EnumSource
  void aGoodFileEndsTakenExactlyOnce(Fault fault) {
    int faults =
        forEachStep(
            fault,
            List.of(new Drop("a.csv", SIDES)),
            site -> {
              assertThat(site.log.ids()).containsExactly("a");
              assertThat(site.taken()).containsExactly("a.csv");
              assertThat(Site.text(site.taken("a.csv"))).isEqualTo(SIDES);
              assertThat(site.inbox()).isEmpty();
              assertThat(site.refused()).isEmpty();
            });
    assertThat(faults).isGreaterThan(10);
  }

  @ParameterizedTest
  @EnumSource
  void aBadFileEndsRefusedExactlyOnce(Fault fault) {
    int faults =
        forEachStep(
            fault,
            List.of(new Drop("a.csv", BAD)),
            site -> {
              assertThat(site.log.ids()).isEmpty();
              assertThat(site.refused()).containsExactly("a.csv", "a.csv.why.txt");
              assertThat(Site.text(site.refused("a.csv"))).isEqualTo(BAD);
              assertThat(Site.text(site.refused("a.csv.why.txt"))).endsWith("read anew.\n");
              assertThat(site.inbox()).isEmpty();
              assertThat(site.taken()).isEmpty();
            });
    assertThat(faults).isGreaterThan(10);
  }

  @ParameterizedTest
  @EnumSource
  void severalFilesOfOneNameOrContentEndInOneFolderEach(Fault fault) {
    forEachStep(
        fault,
        List.of(
            new Drop("a.csv", SIDES),
            new Drop("a.json", "{\"parts\":[{\"length\":505,\"qty\":1}]}"),
            new Drop("b.csv", SIDES),
            new Drop("c.csv", ENDS)),
        site -> {
          // Whichever of a.csv and b.csv came first is the job, the other repeats it.
          assertThat(site.log.ids()).hasSize(2).contains("c");
          boolean aWasFirst = site.log.ids().contains("a");
          assertThat(site.taken()).containsExactly(aWasFirst ? "a.csv" : "b.csv", "c.csv");
          String repeat = aWasFirst ? "b.csv" : "a.csv";
          List<String> refused =
              Stream.of("a.json", "a.json.why.txt", repeat, repeat + ".why.txt").sorted().toList();
          assertThat(site.refused()).isEqualTo(refused);
          assertThat(site.inbox()).isEmpty();
        });
  }

  @ParameterizedTest
  @EnumSource
  void aFileReplacedWhilePlanningEndsAsTheNextRevision(Fault fault) {
    forEachStep(
        fault,
        List.of(new Drop("a.csv", SIDES)),
        site -> {
          assertThat(site.log.ids()).startsWith("a").hasSizeBetween(1, 2);
          assertThat(site.log.orders().stream().map(order -> order.sha256()).distinct())
              .hasSameSizeAs(site.log.orders());
          assertThat(site.inbox()).isEmpty();
          assertThat(site.refused()).isEmpty();
          List<String> contents = new ArrayList<>();
          site.taken().forEach(name -> contents.add(Site.text(site.taken(name))));
          // The newer file is never lost. The older may be gone with a crash before it was written
          // down, if the office has overwritten it by then; its job is in the log all the same.
          assertThat(contents).contains(ENDS).doesNotHaveDuplicates();
        },
        site ->
            site.log.decide(
                order -> {
                  if (site.log.orders().isEmpty()) {
                    site.drop("a.csv", ENDS);
                  }
                  return new Acceptor.Answer.Taken();
                }));
  }

  private int forEachStep(Fault fault, List<Drop> drops, Check check) {
    return forEachStep(fault, drops, check, site -> {});
  }

  /** Returns how many different steps were failed. */
  private int forEachStep(Fault fault, List<Drop> drops, Check check, Check prepare) {
    for (int failAt = 1; failAt < MAX_STEPS; failAt++) {
      Path folder = root.resolve(fault + "-" + failAt);
      assertThat(folder.toFile().mkdir()).isTrue();
      Site site = new Site(folder);
      prepare.on(site);
      drops.forEach(drop -> site.drop(drop.name(), drop.text()));
      FaultPlan plan = new FaultPlan(fault, failAt);
      site.failAs(plan);
      boolean crashed = false;
      try {
        site.watch(Duration.ofSeconds(5));
      } catch (SimulatedCrash e) {
        crashed = true;
      }
      boolean happened = plan.happened();
      assertThat(crashed).isEqualTo(happened && fault != Fault.IO_ERROR);
      if (crashed) {
        site.start();
      }
      site.failAs(FaultPlan.none());
      site.watch(Duration.ofSeconds(8));
      try {
        check.on(site);
      } catch (AssertionError e) {
        throw new AssertionError("after " + fault + " at step " + failAt, e);
      }
      if (!happened) {
        return failAt - 1;
      }
    }
    throw new AssertionError("more than " + MAX_STEPS + " steps");
  }

  private record Drop(String name, String text) {}

  private interface Check {
    void on(Site site);
  }
}
