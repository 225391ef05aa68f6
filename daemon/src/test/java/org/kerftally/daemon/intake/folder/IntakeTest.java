package org.kerftally.daemon.intake.folder;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicReference;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.IntakeConfig;
import org.kerftally.daemon.intake.Facts;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StockItem;

class IntakeTest {

  private static final String STOCK = "material,length\npine-19x146,2440\n";

  @TempDir private Path folder;

  @Test
  void aJobDroppedTogetherWithItsStockIsCheckedAgainstThat() {
    Site site = new Site(folder);
    site.facts = new Facts(List.of(), Map.of());
    Intake intake = intake(site, site.ops, site.clocks(), Site.config());
    Site.write(folder.resolve("stock.csv"), STOCK);
    site.drop("a.csv", Site.SIDES);
    for (int i = 0; i < 20; i++) {
      intake.doWork();
      site.pass(Duration.ofMillis(500));
    }
    assertThat(site.log.ids()).containsExactly("a");
    assertThat(intake.inboxState().refusals()).isEmpty();
    assertThat(intake.stockState().sha256()).isNotNull();
  }

  @Test
  @Timeout(120)
  void itsThreadTakesWhatIsDroppedUntilItIsClosed() {
    Site site = new Site(folder);
    IntakeConfig soon =
        new IntakeConfig(
            Duration.ofMillis(20), Duration.ofMillis(40), IntakeConfig.DEFAULT.maxBytes());
    List<Throwable> deaths = Collections.synchronizedList(new ArrayList<>());
    try (Intake intake = intake(site, new DiskFolderOps(), Clocks.system(), soon)) {
      intake.start(deaths::add);
      await().atMost(Duration.ofSeconds(60)).until(() -> Files.exists(site.inbox("").getParent()));
      await().atMost(Duration.ofSeconds(60)).until(() -> Files.exists(folder.resolve("refused")));
      site.drop("a.csv", Site.SIDES);
      site.drop("b.csv", Site.BAD);
      await()
          .atMost(Duration.ofSeconds(60))
          .until(() -> site.taken().size() == 1 && site.refused().size() == 2);
    }
    site.drop("c.csv", Site.ENDS);
    assertThat(site.inbox()).containsExactly("c.csv");
    assertThat(deaths).isEmpty();
  }

  @Test
  @Timeout(120)
  void whatEndsItsThreadIsTold() {
    Site site = new Site(folder);
    site.log.decide(
        order -> {
          throw new IllegalStateException("a bug");
        });
    AtomicReference<Throwable> death = new AtomicReference<>();
    IntakeConfig soon = new IntakeConfig(Duration.ofMillis(20), Duration.ZERO, 1_000);
    site.drop("a.csv", Site.SIDES);
    try (Intake intake = intake(site, new DiskFolderOps(), Clocks.system(), soon)) {
      intake.start(death::set);
      await().atMost(Duration.ofSeconds(60)).until(() -> death.get() != null);
    }
    assertThat(death.get()).hasMessage("a bug");
    assertThat(site.inbox()).containsExactly("a.csv");
  }

  @Test
  @Timeout(120)
  void closingEndsALongWaitAtOnce() {
    Site site = new Site(folder);
    IntakeConfig rarely = new IntakeConfig(Duration.ofHours(1), Duration.ZERO, 1_000);
    List<Throwable> deaths = Collections.synchronizedList(new ArrayList<>());
    Intake intake = intake(site, new DiskFolderOps(), Clocks.system(), rarely);
    intake.start(deaths::add);
    await().atMost(Duration.ofSeconds(60)).until(() -> Files.exists(folder.resolve("refused")));
    // Bounded by the test's timeout: an hour's wait would not end in time.
    intake.close();
    assertThat(deaths).isEmpty();
  }

  private Intake intake(Site site, FolderOps ops, Clocks clocks, IntakeConfig config) {
    StockListener listener =
        new StockListener() {
          @Override
          public void stated(String sha256, List<StockItem> items) {
            site.facts = Facts.shop(items.get(0).material());
          }

          @Override
          public void refused(List<Problem> problems) {}
        };
    return new Intake(
        folder,
        config,
        new StockWatcher(folder, config, ops, clocks, null, listener),
        new InboxWatcher(folder, config, ops, clocks, () -> site.facts, site.log, site.log));
  }
}
