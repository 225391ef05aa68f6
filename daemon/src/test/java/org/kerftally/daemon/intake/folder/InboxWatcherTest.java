package org.kerftally.daemon.intake.folder;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.intake.folder.Site.BAD;
import static org.kerftally.daemon.intake.folder.Site.ENDS;
import static org.kerftally.daemon.intake.folder.Site.SIDES;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.daemon.intake.folder.Acceptor.Answer;
import org.kerftally.daemon.intake.folder.InboxState.Waiting;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.problem.Problem;

/** What becomes of a file that is dropped, when nothing fails. */
class InboxWatcherTest {

  private static final FileTime OLD = FileTime.fromMillis(1_000_000_000_000L);

  @TempDir private Path folder;
  private Site site;

  @BeforeEach
  void openSite() {
    site = new Site(folder);
    site.watcher.doWork();
  }

  @Test
  void theFoldersAreMadeWhenTheyAreMissing() {
    assertThat(folder.resolve("inbox")).isDirectory();
    assertThat(folder.resolve("taken")).isDirectory();
    assertThat(folder.resolve("refused")).isDirectory();
  }

  @Test
  void aGoodFileIsTakenWithItsOriginalBytes() {
    String text = "\uFEFF" + SIDES.replace("\n", "\r\n");
    site.drop("Comb honey supers.CSV", text);
    site.watch();
    assertThat(site.log.ids()).containsExactly("comb-honey-supers");
    assertThat(site.log.orders().get(0).file()).isEqualTo("Comb honey supers.CSV");
    assertThat(site.taken()).containsExactly("comb-honey-supers.csv");
    assertThat(Site.text(site.taken("comb-honey-supers.csv"))).isEqualTo(text);
    assertThat(site.inbox()).isEmpty();
    assertThat(site.refused()).isEmpty();
  }

  @Test
  void aFileIsLeftAloneUntilItWasStillForTheConfiguredAge() {
    site.drop("a.csv", SIDES);
    site.watcher.doWork();
    site.pass(Duration.ofMillis(999));
    site.watcher.doWork();
    assertThat(site.log.ids()).isEmpty();
    assertThat(site.watcher.state().waiting())
        .containsExactly(new Waiting("a.csv", "it must stop changing first"));
    site.pass(Duration.ofMillis(1));
    site.watcher.doWork();
    assertThat(site.log.ids()).containsExactly("a");
    assertThat(site.watcher.state().waiting()).isEmpty();
  }

  @Test
  void oneLookIsNotEnoughHoweverLongAgoItWas() {
    site.drop("a.csv", SIDES);
    site.watcher.doWork();
    site.pass(Duration.ofHours(1));
    site.drop("a.csv", SIDES + "end,413,40,pine-19x146\n");
    site.watcher.doWork();
    assertThat(site.log.ids()).isEmpty();
  }

  @Test
  void aHalfWrittenFileIsLeftUntilItStopsGrowing() throws IOException {
    // A tool that preserves times: the file looks old all the while.
    for (int end = 30; end < SIDES.length(); end += 5) {
      site.drop("a.csv", SIDES.substring(0, end));
      Files.setLastModifiedTime(site.inbox("a.csv"), OLD);
      site.watch(Duration.ofMillis(500));
    }
    assertThat(site.log.ids()).isEmpty();
    assertThat(site.refused()).isEmpty();
    site.drop("a.csv", SIDES);
    Files.setLastModifiedTime(site.inbox("a.csv"), OLD);
    site.watch();
    assertThat(site.log.orders().get(0).parts().get(0).material()).isEqualTo("pine-19x146");
  }

  @Test
  void aFileOfFullSizeThatIsStillBeingFilledIsLeft() throws IOException {
    site.drop("a.csv", "\0".repeat(SIDES.length()));
    Files.setLastModifiedTime(site.inbox("a.csv"), OLD);
    site.watch(Duration.ofSeconds(8));
    assertThat(site.refused()).isEmpty();
    assertThat(site.watcher.state().waiting().get(0).reason()).contains("still being copied");
    site.drop("a.csv", SIDES);
    Files.setLastModifiedTime(site.inbox("a.csv"), OLD);
    site.watch(Duration.ofSeconds(12));
    assertThat(site.taken()).containsExactly("a.csv");
  }

  @Test
  void aFileOfZeroBytesIsRefusedInTheEnd() {
    site.drop("a.csv", "\0".repeat(100));
    site.watch(Duration.ofSeconds(25));
    assertThat(site.refused()).containsExactly("a.csv", "a.csv.why.txt");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "~$a.csv", ".a.csv", "a.csv.tmp", "a.csv.part", "a.csv.crdownload", "a.csv.filepart",
        "A.CSV.PART", "a.csv~", ".a.csv.Xq2f1", "desktop.ini", "Thumbs.db", ".DS_Store",
      })
  void aTemporaryNameIsLeftAlone(String name) {
    site.drop(name, SIDES);
    site.watch(Duration.ofSeconds(30));
    assertThat(site.inbox()).containsExactly(name);
    assertThat(site.watcher.state().waiting()).isEmpty();
  }

  @Test
  void aTemporaryFileIsTakenOnceItHasItsName() throws IOException {
    site.drop("a.csv.part", SIDES);
    site.watch();
    Files.move(site.inbox("a.csv.part"), site.inbox("a.csv"));
    site.watch();
    assertThat(site.log.ids()).containsExactly("a");
  }

  @Test
  void aFileThatIsReplacedWhileItIsReadIsReadAgain() {
    site.drop("a.csv", SIDES);
    site.ops.after("read", () -> site.drop("a.csv", ENDS + "\n"));
    site.watch();
    assertThat(site.log.orders()).hasSize(1);
    assertThat(site.log.orders().get(0).parts().get(0).name()).isEqualTo("end");
    assertThat(Site.text(site.taken("a.csv"))).isEqualTo(ENDS + "\n");
  }

  @Test
  void aFileThatGrowsWhileItIsReadIsReadAgain() {
    site.drop("a.csv", SIDES);
    site.ops.before("read", () -> site.drop("a.csv", SIDES + "end,413,40,pine-19x146\n"));
    site.watch();
    assertThat(site.log.orders()).hasSize(1);
    assertThat(site.log.orders().get(0).parts()).hasSize(2);
  }

  @Test
  void aFileThatIsReplacedWhileItsJobIsPlannedBecomesTheNextRevision() {
    site.drop("a.csv", SIDES);
    site.log.decide(
        order -> {
          if (site.log.orders().isEmpty()) {
            site.drop("a.csv", ENDS + "\n");
          }
          return new Answer.Taken();
        });
    site.watch(Duration.ofSeconds(6));
    assertThat(site.log.ids()).containsExactly("a", "a.2");
    assertThat(Site.text(site.taken("a.csv"))).isEqualTo(SIDES);
    assertThat(Site.text(site.taken("a.2.csv"))).isEqualTo(ENDS + "\n");
    assertThat(site.inbox()).isEmpty();
  }

  @Test
  void aFileThatIsReplacedRightBeforeTheMoveBecomesTheNextRevision() {
    site.drop("a.csv", SIDES);
    site.ops.before("move", () -> site.drop("a.csv", ENDS));
    site.watch(Duration.ofSeconds(6));
    assertThat(site.log.ids()).containsExactly("a", "a.2");
    assertThat(Site.text(site.taken("a.csv"))).isEqualTo(SIDES);
    assertThat(Site.text(site.taken("a.2.csv"))).isEqualTo(ENDS);
  }

  @Test
  void aFileThatIsTakenBackWhileItsJobIsPlannedStaysTaken() {
    site.drop("a.csv", SIDES);
    site.log.decide(
        order -> {
          assertThat(site.inbox("a.csv").toFile().delete()).isTrue();
          return new Answer.Taken();
        });
    site.watch();
    assertThat(Site.text(site.taken("a.csv"))).isEqualTo(SIDES);
  }

  @Test
  void aNameDroppedTwiceIsANewRevision() {
    site.drop("a.csv", SIDES);
    site.watch();
    site.drop("a.csv", ENDS);
    site.watch();
    site.drop("A.json", "{\"parts\":[{\"length\":50,\"qty\":1,\"material\":\"pine-27x22\"}]}");
    site.watch();
    assertThat(site.log.ids()).containsExactly("a", "a.2", "a.3");
    assertThat(site.taken()).containsExactly("a.2.csv", "a.3.json", "a.csv");
    assertThat(Site.text(site.taken("a.csv"))).isEqualTo(SIDES);
  }

  @Test
  void anOriginalThatTheLogDoesNotKnowIsNeverOverwritten() {
    Site.write(site.taken("a.csv"), "somebody put this here");
    site.drop("a.csv", SIDES);
    site.watch();
    assertThat(site.log.ids()).containsExactly("a.2");
    assertThat(Site.text(site.taken("a.csv"))).isEqualTo("somebody put this here");
  }

  @Test
  void theSameContentTwiceIsRefusedWithTheJobItWasTakenAs() {
    site.drop("a.csv", SIDES);
    site.watch();
    site.drop("b.csv", SIDES);
    site.watch();
    assertThat(site.log.ids()).containsExactly("a");
    assertThat(site.refused()).containsExactly("b.csv", "b.csv.why.txt");
    assertThat(Site.text(site.refused("b.csv.why.txt")))
        .contains("this content was taken already as job a on 2027-03-01T09:15:02Z");
  }

  @Test
  void theSameContentIsRefusedAlsoWhenTheOfficeHasClearedTakenSince() throws IOException {
    site.drop("a.csv", SIDES);
    site.watch();
    Files.delete(site.taken("a.csv"));
    site.drop("a.csv", SIDES);
    site.watch();
    assertThat(site.log.ids()).containsExactly("a");
    assertThat(site.refused()).containsExactly("a.csv", "a.csv.why.txt");
  }

  @Test
  void spacesAndUmlautsInANameArriveWhole() {
    site.drop("Gewächshaus  Süd.csv", SIDES);
    site.drop("Türe (neu).csv", BAD);
    site.watch();
    assertThat(site.log.ids()).containsExactly("gewächshaus-süd");
    assertThat(site.log.orders().get(0).name()).isEqualTo("Gewächshaus  Süd");
    assertThat(site.taken()).containsExactly("gewächshaus-süd.csv");
    assertThat(site.refused()).containsExactly("Türe (neu).csv", "Türe (neu).csv.why.txt");
  }

  @Test
  void anUnreadableFileStaysIsShownAndIsTakenOnceItCanBeRead() {
    site.drop("a.csv", SIDES);
    site.drop("b.csv", ENDS);
    site.ops.setReadable(site.inbox("a.csv"), false);
    site.watch(Duration.ofMinutes(5));
    assertThat(site.inbox()).containsExactly("a.csv");
    assertThat(site.watcher.state().waiting().get(0).reason()).startsWith("no permission");
    assertThat(site.log.ids()).containsExactly("b");
    // It is tried less and less often, not at each of the 600 looks.
    assertThat(site.ops.reads()).isLessThan(20);
    site.ops.setReadable(site.inbox("a.csv"), true);
    site.watch(Duration.ofSeconds(61));
    assertThat(site.log.ids()).containsExactly("b", "a");
  }

  @Test
  void aFileOf200MegabytesIsRefusedUnread() throws IOException {
    try (RandomAccessFile file = new RandomAccessFile(site.inbox("big.csv").toFile(), "rw")) {
      file.setLength(200L << 20);
    }
    site.watch();
    assertThat(site.ops.reads()).isZero();
    assertThat(site.refused("big.csv")).hasSize(200L << 20);
    assertThat(Site.text(site.refused("big.csv.why.txt")))
        .contains("209715200 bytes, and 16777216 are read at most");
  }

  @Test
  void anEmptyFileIsRefusedAfterItHadTimeToBeFilled() {
    site.drop("a.csv", "");
    site.watch(Duration.ofSeconds(9));
    assertThat(site.inbox()).containsExactly("a.csv");
    site.watch();
    assertThat(site.refused()).containsExactly("a.csv", "a.csv.why.txt");
    assertThat(Site.text(site.refused("a.csv.why.txt"))).contains("the file is empty");
  }

  @Test
  void anEmptyFileThatIsFilledInTimeIsTaken() {
    site.drop("a.csv", "");
    site.watch(Duration.ofSeconds(9));
    site.drop("a.csv", SIDES);
    site.watch();
    assertThat(site.log.ids()).containsExactly("a");
  }

  @ParameterizedTest
  @ValueSource(strings = {"a.xlsx", "a.csv.gz", "README", "a.csv.why.txt"})
  void aFileThatIsNoJobFileIsRefusedAfterItHadTimeToBeRenamed(String name) {
    site.drop(name, SIDES);
    site.watch(Duration.ofSeconds(9));
    assertThat(site.inbox()).containsExactly(name);
    site.watch();
    assertThat(site.inbox()).isEmpty();
    assertThat(site.ops.reads()).isZero();
    assertThat(site.watcher.state().refusals().get(0).problems().get(0).message())
        .contains("no job file");
  }

  @Test
  void aLinkIsRefusedAndNotFollowed() throws IOException {
    Path secret = folder.resolve("secret.csv");
    Site.write(secret, SIDES);
    Files.createSymbolicLink(site.inbox("a.csv"), secret);
    site.watch();
    assertThat(site.log.ids()).isEmpty();
    assertThat(site.inbox()).isEmpty();
    assertThat(site.refused("a.csv")).isSymbolicLink();
    assertThat(Site.text(secret)).isEqualTo(SIDES);
  }

  @Test
  void aFolderIsLeftAlone() throws IOException {
    Files.createDirectories(site.inbox("old.csv/deep"));
    site.watch(Duration.ofSeconds(30));
    assertThat(site.inbox()).containsExactly("old.csv");
  }

  @Test
  void aRefusedFileStandsBesideEveryReason() {
    site.drop("a.csv", BAD);
    site.watch();
    assertThat(site.refused()).containsExactly("a.csv", "a.csv.why.txt");
    assertThat(Site.text(site.refused("a.csv"))).isEqualTo(BAD);
    assertThat(Site.text(site.refused("a.csv.why.txt")))
        .startsWith("Refused: a.csv\nAt: 2027-03-02T05:59:")
        .contains("\nline 2, length: \"12x\" has the unit \"x\"")
        .contains("\nline 2, qty: \"0\" is too few → write a whole number from 1 to 100000")
        .endsWith("What to do: mend a.csv and drop it into inbox/ again; it is then read anew.\n");
    assertThat(site.watcher.state().refusals())
        .singleElement()
        .satisfies(
            refusal -> {
              assertThat(refusal.file()).isEqualTo("a.csv");
              assertThat(refusal.problems()).hasSize(2);
              assertThat(refusal.problemCount()).isEqualTo(2);
            });
  }

  @Test
  void aNameRefusedTwiceOverwritesNothing() {
    for (int i = 1; i <= 3; i++) {
      site.drop("a.csv", BAD + "x".repeat(i));
      site.watch();
    }
    assertThat(site.refused())
        .containsExactly(
            "a (2).csv",
            "a (2).csv.why.txt",
            "a (3).csv",
            "a (3).csv.why.txt",
            "a.csv",
            "a.csv.why.txt");
    assertThat(Site.text(site.refused("a.csv"))).isEqualTo(BAD + "x");
    assertThat(Site.text(site.refused("a (3).csv"))).isEqualTo(BAD + "xxx");
  }

  @Test
  void reasonsNeverReplaceAnOriginal() {
    site.drop("a.csv.why.txt", "my own notes");
    site.watch(Duration.ofSeconds(15));
    site.drop("a.csv", BAD);
    site.watch();
    assertThat(site.refused())
        .containsExactly(
            "a.csv", "a.csv.why (1).txt", "a.csv.why (1).txt.why.txt", "a.csv.why.txt");
    assertThat(Site.text(site.refused("a.csv.why (1).txt"))).isEqualTo("my own notes");
  }

  @Test
  void aNameAsLongAsTheSystemAllowsCanBeRefused() {
    String name = "x".repeat(251) + ".csv";
    site.drop(name, BAD);
    site.watch();
    assertThat(site.inbox()).isEmpty();
    assertThat(site.refused()).hasSize(2).allMatch(refused -> refused.startsWith("xxxx"));
  }

  @Test
  void aJobThatTheAcceptorRefusesIsRefusedWithItsProblems() {
    site.log.decide(
        order ->
            new Answer.Refused(
                List.of(new Problem(order.file(), 0, null, "no station cuts it", "split it"))));
    site.drop("a.csv", SIDES);
    site.watch();
    assertThat(Site.text(site.refused("a.csv.why.txt"))).contains("no station cuts it → split it");
  }

  @Test
  void aJobThatCannotBeDecidedNowIsOfferedAgain() {
    site.log.decide(order -> new Answer.Later("the cut log is on a full disk"));
    site.drop("a.csv", SIDES);
    site.watch(Duration.ofSeconds(10));
    assertThat(site.inbox()).containsExactly("a.csv");
    assertThat(site.watcher.state().waiting())
        .containsExactly(new Waiting("a.csv", "the cut log is on a full disk"));
    site.log.decide(order -> new Answer.Taken());
    site.watch(Duration.ofSeconds(20));
    assertThat(site.taken()).containsExactly("a.csv");
  }

  @Test
  void aFileThatChangesWhileItIsRefusedStaysWithoutReasons() {
    site.drop("a.csv", BAD);
    site.ops.before("replace", () -> site.drop("a.csv", SIDES));
    site.watch();
    assertThat(site.log.ids()).containsExactly("a");
    assertThat(site.refused()).isEmpty();
  }

  @Test
  void oneStepHandlesOneFile() {
    site.drop("a.csv", SIDES);
    site.drop("b.csv", BAD);
    site.watcher.doWork();
    site.pass(Duration.ofSeconds(1));
    assertThat(site.watcher.doWork()).isEqualTo(1);
    assertThat(site.inbox()).containsExactly("b.csv");
    assertThat(site.watcher.doWork()).isEqualTo(1);
    assertThat(site.watcher.doWork()).isZero();
    assertThat(site.inbox()).isEmpty();
  }

  @Test
  void aSiteThatIsGoneIsShownAndComesBackByItself() throws IOException {
    Path away = folder.resolveSibling(folder.getFileName() + "-away");
    site.drop("a.csv", SIDES);
    site.watcher.doWork();
    Files.move(folder, away);
    site.watch(Duration.ofSeconds(30));
    assertThat(site.watcher.state().isHealthy()).isFalse();
    assertThat(site.watcher.state().trouble()).contains("not there");
    assertThat(folder).doesNotExist();
    Files.move(away, folder);
    site.watch();
    assertThat(site.watcher.state().isHealthy()).isTrue();
    assertThat(site.log.ids()).containsExactly("a");
  }

  @Test
  void aFolderThatWasDeletedIsMadeAgain() throws IOException {
    Files.delete(folder.resolve("taken"));
    Files.delete(folder.resolve("inbox"));
    site.watch();
    site.drop("a.csv", SIDES);
    site.watch();
    assertThat(site.taken()).containsExactly("a.csv");
    Files.delete(site.taken("a.csv"));
    Files.delete(folder.resolve("taken"));
    site.drop("b.csv", ENDS);
    site.watch(Duration.ofSeconds(6));
    assertThat(site.taken()).containsExactly("b.csv");
    assertThat(site.log.ids()).containsExactly("a", "b");
  }

  @Test
  void onlyTheLatestRefusalsAreKept() {
    for (int i = 0; i < InboxState.MAX_REFUSALS + 5; i++) {
      site.drop("a" + i + ".csv", BAD);
    }
    site.watch(Duration.ofSeconds(60));
    assertThat(site.inbox()).isEmpty();
    assertThat(site.watcher.state().refusals()).hasSize(InboxState.MAX_REFUSALS);
  }

  @Test
  void filesAreTakenInTheOrderTheyCame() {
    List<String> names = new ArrayList<>();
    for (String name : new String[] {"c", "a", "b"}) {
      site.drop(name + ".csv", SIDES.replace("40", "4" + name.charAt(0) % 10));
      site.watcher.doWork();
      names.add(name);
    }
    site.watch(Duration.ofSeconds(5));
    assertThat(site.log.orders()).extracting(JobOrder::id).isEqualTo(names);
  }
}
