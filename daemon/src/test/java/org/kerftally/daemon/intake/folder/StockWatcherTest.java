package org.kerftally.daemon.intake.folder;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.intake.Sha256;
import org.kerftally.daemon.intake.folder.FaultPlan.Fault;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StockItem;

class StockWatcherTest {

  private static final String PINE = "material,length,qty\npine-19x146,2440,\n";
  private static final String ASH = "material,length,qty\nash-20x40,2100,12\n";
  private static final String BAD = "material,length,qty\nash-20x40,2100x,-1\n";

  @TempDir private Path folder;
  private Site site;
  private Path file;
  private FaultyOps ops;
  private final List<String> stated = new ArrayList<>();
  private final List<List<Problem>> refused = new ArrayList<>();
  private StockWatcher watcher;

  @BeforeEach
  void openSite() {
    site = new Site(folder);
    file = folder.resolve("stock.csv");
    start(null);
  }

  private void start(String shaInForce) {
    ops = new FaultyOps();
    watcher =
        new StockWatcher(
            folder,
            Site.config(),
            ops,
            site.clocks(),
            shaInForce,
            new StockListener() {
              @Override
              public void stated(String sha256, List<StockItem> items) {
                stated.add(items.isEmpty() ? "nothing" : items.get(0).material());
              }

              @Override
              public void refused(List<Problem> problems) {
                refused.add(problems);
              }
            });
  }

  @Test
  void aStockFileIsStatedOnceWhenItIsStill() {
    Site.write(file, PINE);
    watcher.doWork();
    assertThat(watcher.isSettled()).isFalse();
    assertThat(stated).isEmpty();
    watch(Duration.ofMinutes(5));
    assertThat(stated).containsExactly("pine-19x146");
    assertThat(watcher.isSettled()).isTrue();
    assertThat(watcher.state().sha256()).isEqualTo(sha(PINE));
    assertThat(Site.text(file)).isEqualTo(PINE);
  }

  @Test
  void aSiteWithoutAStockFileIsSettledAtOnce() {
    watcher.doWork();
    assertThat(watcher.isSettled()).isTrue();
    assertThat(stated).isEmpty();
  }

  @Test
  void aHalfWrittenStockFileIsLeftUntilItStopsGrowing() {
    for (int end = 20; end < PINE.length(); end++) {
      Site.write(file, PINE.substring(0, end));
      watch(Duration.ofMillis(500));
    }
    assertThat(stated).isEmpty();
    assertThat(refused).isEmpty();
    Site.write(file, PINE);
    watch(Duration.ofSeconds(3));
    assertThat(stated).containsExactly("pine-19x146");
  }

  @Test
  void theStatementInForceIsNotStatedAgainAfterARestartOrATouch() throws IOException {
    start(sha(PINE));
    Site.write(file, PINE);
    watch(Duration.ofSeconds(3));
    Files.setLastModifiedTime(file, FileTime.fromMillis(5_000));
    watch(Duration.ofSeconds(3));
    assertThat(stated).isEmpty();
    assertThat(watcher.state().sha256()).isEqualTo(sha(PINE));
  }

  @Test
  void everyNewContentIsANewStatement() {
    for (String text : new String[] {PINE, ASH, PINE}) {
      Site.write(file, text);
      watch(Duration.ofSeconds(3));
    }
    assertThat(stated).containsExactly("pine-19x146", "ash-20x40", "pine-19x146");
  }

  @Test
  void aContentThatKeepsSizeAndTimeIsSeenWithinAMinute() throws IOException {
    FileTime time = FileTime.fromMillis(1_000_000_000_000L);
    Site.write(file, ASH);
    Files.setLastModifiedTime(file, time);
    watch(Duration.ofSeconds(3));
    Site.write(file, ASH.replace("ash-20x40", "oak-20x40"));
    Files.setLastModifiedTime(file, time);
    watch(Duration.ofSeconds(61));
    assertThat(stated).containsExactly("ash-20x40", "oak-20x40");
  }

  @Test
  void aBadStockFileChangesNothingAndSaysWhyBesideIt() {
    Site.write(file, PINE);
    watch(Duration.ofSeconds(3));
    Site.write(file, BAD);
    watch(Duration.ofMinutes(3));
    assertThat(stated).containsExactly("pine-19x146");
    assertThat(refused).hasSize(1);
    assertThat(watcher.state().problems()).hasSize(2);
    assertThat(watcher.state().sha256()).isEqualTo(sha(PINE));
    assertThat(watcher.isSettled()).isTrue();
    assertThat(Site.text(folder.resolve("stock.why.txt")))
        .contains("line 2, length: \"2100x\"")
        .contains("line 2, qty: \"-1\" is a negative quantity");
    assertThat(Site.text(file)).isEqualTo(BAD);
  }

  @Test
  void theReasonsGoWhenTheFileIsGoodAgainEvenIfItIsTheOneInForce() {
    Site.write(file, PINE);
    watch(Duration.ofSeconds(3));
    Site.write(file, BAD);
    watch(Duration.ofSeconds(3));
    assertThat(folder.resolve("stock.why.txt")).exists();
    Site.write(file, PINE);
    watch(Duration.ofSeconds(3));
    assertThat(folder.resolve("stock.why.txt")).doesNotExist();
    assertThat(watcher.state().problems()).isEmpty();
    assertThat(stated).hasSize(1);
  }

  @Test
  void theReasonsGoWhenTheFileGoes() throws IOException {
    Site.write(file, BAD);
    watch(Duration.ofSeconds(3));
    Files.delete(file);
    watcher.doWork();
    assertThat(folder.resolve("stock.why.txt")).doesNotExist();
    assertThat(watcher.state().problems()).isEmpty();
  }

  @Test
  void anEmptyStockFileHasTimeToBeFilled() {
    Site.write(file, "");
    watch(Duration.ofSeconds(8));
    assertThat(refused).isEmpty();
    watch(Duration.ofSeconds(4));
    assertThat(refused).hasSize(1);
  }

  @Test
  void aStockFileThatIsReplacedWhileItIsReadIsReadAgain() {
    Site.write(file, PINE);
    ops.after("read", () -> Site.write(file, ASH + "\n"));
    watch(Duration.ofSeconds(5));
    assertThat(stated).containsExactly("ash-20x40");
  }

  @Test
  void anUnreadableStockFileKeepsTheLastStockInForceAndIsTriedAgain() {
    Site.write(file, PINE);
    ops.setReadable(file, false);
    watch(Duration.ofMinutes(2));
    assertThat(watcher.state().trouble()).startsWith("no permission");
    assertThat(ops.reads()).isLessThan(15);
    ops.setReadable(file, true);
    watch(Duration.ofSeconds(61));
    assertThat(stated).containsExactly("pine-19x146");
    assertThat(watcher.state().trouble()).isNull();
  }

  /** Else a job would be refused for a material that the file names. */
  @Test
  void jobsWaitWhileTheStockFileCannotBeReadButNotForLongWhenThereIsAnEarlierStock() {
    Site.write(file, PINE);
    ops.setReadable(file, false);
    watch(Duration.ofMinutes(2));
    assertThat(watcher.isSettled()).as("no stock at all").isFalse();
    ops.setReadable(file, true);
    watch(Duration.ofSeconds(61));
    assertThat(watcher.isSettled()).isTrue();

    Site.write(file, ASH + "\n");
    ops.setReadable(file, false);
    watch(Duration.ofSeconds(3));
    assertThat(watcher.state().trouble()).isNotNull();
    assertThat(watcher.isSettled()).as("at first").isFalse();
    watch(Duration.ofSeconds(11));
    assertThat(watcher.isSettled()).as("in the end").isTrue();
    assertThat(stated).containsExactly("pine-19x146");
  }

  @Test
  void aStockFileThatNeverStopsChangingHoldsNothingUpForLong() {
    for (int i = 0; i < 30; i++) {
      Site.write(file, PINE + "\n".repeat(i));
      watch(Duration.ofMillis(400));
    }
    assertThat(stated).isEmpty();
    assertThat(watcher.isSettled()).isTrue();
  }

  @Test
  void anOverLongStockFileIsRefused() {
    Site.write(file, PINE + "#".repeat(17 << 20));
    watch(Duration.ofSeconds(3));
    assertThat(refused).hasSize(1);
    assertThat(refused.get(0).get(0).message()).contains("more than 16777216 bytes");
  }

  @Test
  void aFolderOfThatNameIsTrouble() throws IOException {
    Files.createDirectory(file);
    watch(Duration.ofSeconds(3));
    assertThat(watcher.state().trouble()).contains("no plain file");
    Files.delete(file);
    Site.write(file, PINE);
    watch(Duration.ofSeconds(3));
    assertThat(stated).hasSize(1);
    assertThat(watcher.state().trouble()).isNull();
  }

  @Test
  void everyFailingStepIsSurvivedAndTheStatementMadeOnce() {
    for (int failAt = 1; failAt < 200; failAt++) {
      stated.clear();
      refused.clear();
      start(null);
      Site.write(file, failAt % 2 == 0 ? BAD : PINE);
      FaultPlan plan = new FaultPlan(Fault.IO_ERROR, failAt);
      ops.failAs(plan);
      watch(Duration.ofSeconds(70));
      assertThat(stated.size() + refused.size()).as("step %d", failAt).isEqualTo(1);
      assertThat(Files.exists(folder.resolve("stock.why.txt")))
          .as("step %d", failAt)
          .isEqualTo(failAt % 2 == 0);
      if (failAt > 30) {
        return;
      }
    }
  }

  private void watch(Duration time) {
    for (long millis = 0; millis <= time.toMillis(); millis += 500) {
      watcher.doWork();
      site.pass(Duration.ofMillis(500));
    }
  }

  private static String sha(String text) {
    return Sha256.hex(text.getBytes(java.nio.charset.StandardCharsets.UTF_8));
  }
}
