package org.kerftally.daemon.cutlog;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.fail;
import static org.kerftally.daemon.cutlog.Samples.NOON;
import static org.kerftally.daemon.cutlog.Samples.cut;
import static org.kerftally.daemon.cutlog.Samples.order;
import static org.kerftally.daemon.cutlog.Samples.part;
import static org.kerftally.daemon.cutlog.Samples.plan;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.time.Clock;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;

/**
 * Damages a cut log in every way that disks, copies and people do. Whatever was done to it, opening
 * it either is refused with a reason and a way out, or gives exactly what was acknowledged.
 *
 * <p>Two logs are damaged: one that was closed in good order, and one as a kill leaves it, with a
 * good part of its events in the write-ahead log alone.
 */
final class DamagedLogTest {

  private static final Clock CLOCK = Clock.fixed(NOON, ZoneOffset.UTC);
  private static final int PAGE = 4096;
  private static final int WAL_HEAD = 32;
  private static final int WAL_FRAME = PAGE + 24;
  private static final int DATABASE_HEAD = 100;
  private static final int APPENDS = 30;
  private static final int FLIPS = 200;
  private static final long SEED = 20270302;

  @TempDir static Path folder;

  private static LogFiles closed;
  private static LogFiles killed;
  private static int cases;

  /** Holds the three files of a log and what was acknowledged of it. */
  private static final class LogFiles {
    private final byte[] db;
    private final byte @Nullable [] wal;
    private final byte @Nullable [] seal;
    private final Content acknowledged;

    LogFiles(byte[] db, byte @Nullable [] wal, byte @Nullable [] seal, Content acknowledged) {
      this.db = db;
      this.wal = wal;
      this.seal = seal;
      this.acknowledged = acknowledged;
    }

    byte[] db() {
      return db;
    }

    byte @Nullable [] wal() {
      return wal;
    }

    byte @Nullable [] seal() {
      return seal;
    }

    Content acknowledged() {
      return acknowledged;
    }

    LogFiles withDb(byte[] other) {
      return new LogFiles(other, wal, seal, acknowledged);
    }

    LogFiles withWal(byte @Nullable [] other) {
      return new LogFiles(db, other, seal, acknowledged);
    }

    LogFiles withSeal(byte @Nullable [] other) {
      return new LogFiles(db, wal, other, acknowledged);
    }
  }

  /** Everything that a log tells. */
  private record Content(
      List<Recorded> events,
      List<JobCount> counts,
      List<LoggedCut> cuts,
      List<LoggedFault> faults) {

    static Content of(CutLog log) {
      List<Recorded> events = new ArrayList<>();
      log.replay(events::add);
      return new Content(events, log.jobCounts(), log.cuts("supers"), log.faults(NOON));
    }
  }

  @BeforeAll
  static void write() throws Exception {
    Path db = Files.createDirectory(folder.resolve("whole")).resolve("kerftally.db");
    try (CutLog log = CutLog.open(db, CLOCK)) {
      log.append(
          null,
          List.of(new JobTaken(order("supers", part("super side", 505, 99)), "saw1", plan())));
      for (int i = 1; i <= APPENDS; i++) {
        if (i == APPENDS / 2) {
          checkpoint(db);
        }
        log.append("saw1", events(i));
      }
      killed = read(db, Content.of(log));
    }
    closed = read(db, killed.acknowledged());
    assertThat(closed.wal()).isNull();
    assertThat(killed.wal()).hasSizeGreaterThan(10 * WAL_FRAME);
  }

  private static List<Event> events(int i) {
    return List.of(
        new LinkUp(),
        cut("b1", i),
        new FaultRaised("low-air", "no " + i),
        new FaultCleared("low-air"),
        new LinkDown("reason ".repeat(20)));
  }

  private static void checkpoint(Path db) throws SQLException {
    try (var other = DriverManager.getConnection("jdbc:sqlite:" + db);
        var statement = other.createStatement()) {
      statement.execute("PRAGMA wal_checkpoint(TRUNCATE)");
    }
  }

  private static LogFiles read(Path db, Content acknowledged) throws IOException {
    Path wal = Database.beside(db, "-wal");
    return new LogFiles(
        Files.readAllBytes(db),
        Files.exists(wal) ? Files.readAllBytes(wal) : null,
        Files.readAllBytes(Seal.beside(db)),
        acknowledged);
  }

  private static Path place(LogFiles files) throws IOException {
    Path db = Files.createDirectory(folder.resolve("case" + ++cases)).resolve("kerftally.db");
    Files.write(db, files.db());
    if (files.wal() != null) {
      Files.write(Database.beside(db, "-wal"), files.wal());
    }
    if (files.seal() != null) {
      Files.write(Seal.beside(db), files.seal());
    }
    return db;
  }

  /** Opens a damaged log and tells the reason of the refusal, or null when it opened whole. */
  private static @Nullable String open(String what, LogFiles files) throws IOException {
    Path db = place(files);
    LogReport report = LogCheck.of(db);
    String reason = null;
    try (CutLog log = CutLog.open(db, CLOCK)) {
      assertThat(Content.of(log)).as(what).isEqualTo(files.acknowledged());
      assertThat(report.problems()).as(what).isEmpty();
    } catch (CutLogException e) {
      reason = e.getMessage();
      assertThat(reason)
          .as(what)
          .containsPattern("damaged|missing|empty|another program|newer version|cannot open");
      assertThat(report.isSound()).as(what + ": " + reason).isFalse();
    } catch (RuntimeException e) {
      fail(what + " ended in " + e, e);
    }
    return reason;
  }

  private static byte[] flipped(byte[] bytes, int at, int mask) {
    byte[] copy = bytes.clone();
    copy[at] ^= (byte) mask;
    return copy;
  }

  private static void assertRefused(String what, LogFiles files, String reason) throws IOException {
    assertThat(open(what, files)).as(what).isNotNull().contains(reason);
  }

  @Test
  void undamagedBothOpenWhole() throws IOException {
    assertThat(open("closed", closed)).isNull();
    assertThat(open("killed", killed)).isNull();
  }

  @Test
  void aFileThatIsCutShortIsRefusedAtEveryPageAndWithinPages() throws IOException {
    for (LogFiles files : List.of(closed, killed)) {
      int refused = 0;
      int lengths = 0;
      for (int length = 0; length < files.db().length; length += PAGE / 2) {
        String what = "cut to " + length + " of " + files.db().length;
        refused += open(what, files.withDb(Arrays.copyOf(files.db(), length))) == null ? 0 : 1;
        lengths++;
      }
      // What the write-ahead log holds anew may be cut off from the file without any loss.
      assertThat(refused).isGreaterThan(files.wal() == null ? lengths - 1 : lengths / 4);
    }
  }

  @Test
  void everyByteOfTheHeadMayFlip() throws IOException {
    for (int at = 0; at < DATABASE_HEAD; at++) {
      open("byte " + at + " ^ 1", closed.withDb(flipped(closed.db(), at, 0x01)));
      open("byte " + at + " ^ 255", closed.withDb(flipped(closed.db(), at, 0xff)));
      open("byte " + at + " ^ 3, killed", killed.withDb(flipped(killed.db(), at, 0x03)));
    }
  }

  @Test
  void aByteThatFlipsAnywhereNeverChangesWhatIsRead() throws IOException {
    SplittableRandom random = new SplittableRandom(SEED);
    int refused = 0;
    for (int i = 0; i < FLIPS; i++) {
      int at = random.nextInt(closed.db().length);
      int mask = 1 << random.nextInt(8);
      String what = "seed " + SEED + ", byte " + at + " ^ " + mask;
      refused += open(what, closed.withDb(flipped(closed.db(), at, mask))) == null ? 0 : 1;
    }
    assertThat(refused).as("most bytes of the file are in use").isGreaterThan(FLIPS / 5);
  }

  /** The database itself does not find this: the text is as long and as valid as before. */
  @Test
  void aDigitThatChangesWithinAnEventIsFound() throws IOException {
    byte[] body = "\"count\":17".getBytes(StandardCharsets.UTF_8);
    int at = indexOf(closed.db(), body);
    assertThat(at).isPositive();
    assertRefused(
        "digit",
        closed.withDb(flipped(closed.db(), at + body.length - 1, 1)),
        "not what was written");
  }

  @Test
  void aWordThatChangesWithinAViewIsFound() throws IOException {
    byte[] text = "kind = 'part') AS made".getBytes(StandardCharsets.UTF_8);
    int at = indexOf(closed.db(), text) + "kind = '".length();
    assertRefused("view", closed.withDb(flipped(closed.db(), at, 4)), "view job_counts");
  }

  private static int indexOf(byte[] bytes, byte[] wanted) {
    for (int at = 0; at + wanted.length <= bytes.length; at++) {
      if (Arrays.equals(bytes, at, at + wanted.length, wanted, 0, wanted.length)) {
        return at;
      }
    }
    return -1;
  }

  @Test
  void aPageOfZerosIsFoundWhereverItMatters() throws IOException {
    for (LogFiles files : List.of(closed, killed)) {
      int refused = 0;
      for (int page = 0; page < files.db().length / PAGE; page++) {
        byte[] db = files.db().clone();
        Arrays.fill(db, page * PAGE, (page + 1) * PAGE, (byte) 0);
        refused += open("page " + page + " zeroed", files.withDb(db)) == null ? 0 : 1;
      }
      assertThat(refused).isGreaterThan(3);
    }
  }

  @Test
  void twoPagesThatChangedPlacesAreFound() throws IOException {
    byte[] db = closed.db().clone();
    byte[] page = Arrays.copyOfRange(db, 2 * PAGE, 3 * PAGE);
    System.arraycopy(db, 3 * PAGE, db, 2 * PAGE, PAGE);
    System.arraycopy(page, 0, db, 3 * PAGE, PAGE);
    assertThat(open("pages changed places", closed.withDb(db))).isNotNull();
  }

  @Test
  void aWriteAheadLogThatIsGoneIsMissed() throws IOException {
    assertRefused("no -wal", killed.withWal(null), "its end is missing");
    assertRefused("empty -wal", killed.withWal(new byte[0]), "its end is missing");
  }

  @Test
  void aWriteAheadLogThatIsCutShortIsMissedAtEveryFrame() throws IOException {
    byte[] wal = Objects.requireNonNull(killed.wal());
    for (int length = WAL_HEAD; length < wal.length; length += WAL_FRAME) {
      assertRefused(
          "-wal cut to " + length,
          killed.withWal(Arrays.copyOf(wal, length)),
          "its end is missing");
    }
    assertRefused(
        "last frame torn", killed.withWal(Arrays.copyOf(wal, wal.length - 100)), "its end");
  }

  @Test
  void aByteThatFlipsInTheWriteAheadLogIsMissed() throws IOException {
    byte[] wal = Objects.requireNonNull(killed.wal());
    SplittableRandom random = new SplittableRandom(SEED + 1);
    for (int i = 0; i < FLIPS / 2; i++) {
      int at = i < WAL_HEAD ? i : random.nextInt(wal.length);
      int mask = 1 << random.nextInt(8);
      String what = "seed " + (SEED + 1) + ", -wal byte " + at + " ^ " + mask;
      open(what, killed.withWal(flipped(wal, at, mask)));
    }
  }

  /**
   * A write that was cut off by a power failure, and so was never acknowledged, is no damage: what
   * it left behind the last commit is passed over.
   */
  @Test
  void whatFollowsTheLastCommitInTheWriteAheadLogIsPassedOver() throws IOException {
    byte[] wal = Objects.requireNonNull(killed.wal());
    byte[] torn = Arrays.copyOf(wal, wal.length + WAL_FRAME / 2);
    Arrays.fill(torn, wal.length, torn.length, (byte) 0x5a);
    assertThat(open("torn write", killed.withWal(torn))).isNull();
  }

  @Test
  void aFileThatIsEmptyOrGoneIsMissed() throws IOException {
    assertRefused("empty", closed.withDb(new byte[0]), "is empty");
    assertRefused("empty, with -wal", killed.withDb(new byte[0]), "is empty");
    assertRefused(
        "empty, no seal", killed.withDb(new byte[0]).withSeal(null), "write-ahead log is here");
    Path db = place(closed);
    Files.delete(db);
    assertThat(LogCheck.of(db).problems()).singleElement().asString().contains("is missing");
  }

  @Test
  void theLogOfAnotherSiteIsRefusedInThisOnesPlace() throws Exception {
    Path db = Files.createDirectory(folder.resolve("other-site")).resolve("kerftally.db");
    try (CutLog log = CutLog.open(db, CLOCK)) {
      for (int i = 1; i <= 2 * APPENDS; i++) {
        log.append("saw9", events(i));
      }
    }
    assertRefused(
        "foreign", closed.withDb(Files.readAllBytes(db)), "not the log that was kept here");
  }

  @Test
  void anOlderCopyIsRefusedUnlessItsSealCameWithIt() throws Exception {
    Path db = Files.createDirectory(folder.resolve("older")).resolve("kerftally.db");
    Content then;
    byte[] seal;
    try (CutLog log = CutLog.open(db, CLOCK)) {
      log.append(
          null,
          List.of(new JobTaken(order("supers", part("super side", 505, 99)), "saw1", plan())));
      log.append("saw1", events(1));
      then = Content.of(log);
    }
    seal = Files.readAllBytes(Seal.beside(db));
    LogFiles older = new LogFiles(Files.readAllBytes(db), null, closed.seal(), then);
    assertRefused("older", older, "its end is missing");
    assertThat(open("older with its seal", older.withSeal(seal))).isNull();
    assertThat(open("older without a seal", older.withSeal(null))).isNull();
  }

  @Test
  void aDamagedSealStopsNothingButIsSaid() throws IOException {
    byte[] seal = Objects.requireNonNull(closed.seal());
    SplittableRandom random = new SplittableRandom(SEED + 2);
    for (int i = 0; i < FLIPS / 4; i++) {
      int at = random.nextInt(seal.length);
      String what = "seal byte " + at;
      assertThat(open(what, closed.withSeal(flipped(seal, at, 1 << random.nextInt(7))))).isNull();
    }
    Path db = place(closed.withSeal("torn".getBytes(StandardCharsets.UTF_8)));
    assertThat(LogCheck.of(db).remarks()).anySatisfy(r -> assertThat(r).contains("is damaged"));
    CutLog.open(db, CLOCK).close();
    assertThat(LogCheck.of(db).remarks()).isEmpty();
  }

  @Test
  void aRefusedLogIsLeftAsItWas() throws IOException {
    byte[] wal = Arrays.copyOf(Objects.requireNonNull(killed.wal()), 3 * WAL_FRAME);
    Path db = place(killed.withWal(wal));
    try (CutLog log = CutLog.open(db, CLOCK)) {
      fail("opened with " + Content.of(log).events().size() + " events");
    } catch (CutLogException e) {
      assertThat(e).hasMessageContaining("log rebuild").hasMessageContaining("backup");
    }
    assertThat(Files.readAllBytes(db)).isEqualTo(killed.db());
    assertThat(Files.readAllBytes(Database.beside(db, "-wal"))).isEqualTo(wal);
    assertThat(Files.readAllBytes(Seal.beside(db))).isEqualTo(killed.seal());
  }
}
