package org.kerftally.daemon.cutlog;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.kerftally.daemon.cutlog.Samples.NOON;
import static org.kerftally.daemon.cutlog.Samples.cut;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.time.Clock;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.LinkUp;

final class LogRebuildTest {

  private static final int CUTS = 40;

  @TempDir Path folder;

  private List<Recorded> written;

  private Path file() {
    return folder.resolve("kerftally.db");
  }

  private CutLog open() {
    return CutLog.open(file(), Clock.fixed(NOON, ZoneOffset.UTC));
  }

  private static List<Recorded> all(CutLog log) {
    List<Recorded> events = new ArrayList<>();
    log.replay(events::add);
    return events;
  }

  @BeforeEach
  void write() {
    try (CutLog log = open()) {
      for (int i = 1; i <= CUTS; i++) {
        log.append("saw1", List.of(new LinkUp(), cut("b1", i)));
      }
      written = all(log);
    }
  }

  private void run(String... statements) throws SQLException {
    try (Connection stranger = DriverManager.getConnection("jdbc:sqlite:" + file());
        var statement = stranger.createStatement()) {
      for (String sql : statements) {
        statement.execute(sql);
      }
    }
  }

  /** Makes a log as versions wrote it that gave events no digest. */
  private void makeOld() throws SQLException, IOException {
    run(
        "DROP TRIGGER event_carries_its_digest",
        "DROP TABLE chain",
        "ALTER TABLE event DROP COLUMN digest",
        "PRAGMA user_version = 1");
    Files.delete(Seal.beside(file()));
  }

  /** Makes a log as versions wrote it that knew no moves but those to targets. */
  private void makeFormer() throws SQLException, IOException {
    run(
        "DROP VIEW target_log",
        "DROP TABLE target",
        "CREATE TABLE target (event INTEGER PRIMARY KEY, job TEXT NOT NULL) STRICT",
        "CREATE VIEW target_log AS SELECT job FROM target",
        "PRAGMA user_version = 2");
    Files.delete(Seal.beside(file()));
  }

  @Test
  void aLogOfAFormerVersionIsToldAnewWhenItIsOpenedAndKeepsItsDigests() throws Exception {
    makeFormer();
    assertThat(LogCheck.of(file()).problems()).isEmpty();
    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written);
      assertThat(log.verify()).isEmpty();
      log.append("saw1", List.of(cut("b1", CUTS + 1)));
    }
    assertThat(LogCheck.of(file()).problems()).isEmpty();
  }

  @Test
  void aDamagedEventOfAFormerVersionIsFoundByItsDigest() throws Exception {
    makeFormer();
    run(
        "DROP TRIGGER event_is_never_changed",
        "UPDATE event SET at = '2020-01-01T00:00:00Z' WHERE id = 3");
    assertThatThrownBy(this::open).hasMessageContaining("event 3");
  }

  @Test
  void aLogOfAFormerVersionIsMadeAnewWithItsDigests() throws Exception {
    makeFormer();
    LogRebuild.run(file(), false, NOON);
    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written);
      assertThat(log.verify()).isEmpty();
    }
  }

  private long filesKept() throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.filter(f -> f.getFileName().toString().contains("-kept-")).count();
    }
  }

  @Test
  void tablesAndViewsThatWereChangedAreToldAgainAndWhatWasThereIsKept() throws Exception {
    run("UPDATE cut SET kind = 'trim' WHERE count = 7", "DROP VIEW cut_log", "DELETE FROM fault");
    byte[] before = Files.readAllBytes(file());
    assertThatThrownBy(this::open).hasMessageContaining("log rebuild");

    LogRebuild.Done done = LogRebuild.run(file(), false, NOON);

    assertThat(done.events()).isEqualTo(written.size());
    assertThat(Files.readAllBytes(done.kept())).isEqualTo(before);
    assertThat(LogCheck.of(file()).problems()).isEmpty();
    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written);
      assertThat(log.cuts("supers")).hasSize(CUTS);
      log.append("saw1", List.of(cut("b1", CUTS + 1)));
      assertThat(log.verify()).isEmpty();
    }
  }

  @Test
  void aTableWhosePagesAreGoneIsToldAgain() throws Exception {
    long root;
    try (Connection other = DriverManager.getConnection("jdbc:sqlite:" + file());
        var statement = other.createStatement();
        var row = statement.executeQuery("SELECT rootpage FROM sqlite_schema WHERE name = 'cut'")) {
      root = row.getLong(1);
    }
    byte[] bytes = Files.readAllBytes(file());
    java.util.Arrays.fill(bytes, (int) (root - 1) * 4096, (int) root * 4096, (byte) 0x55);
    Files.write(file(), bytes);
    assertThat(LogCheck.of(file())).matches(LogReport::rebuildHelps).matches(r -> !r.isSound());

    LogRebuild.run(file(), false, NOON);

    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written);
      assertThat(log.cuts("supers")).hasSize(CUTS);
    }
  }

  @Test
  void damagedEventsAreGivenUpOnlyWhenTold() throws Exception {
    run("DROP TRIGGER event_is_never_changed", "UPDATE event SET at = '2027' WHERE id = 31");
    byte[] before = Files.readAllBytes(file());

    assertThatThrownBy(() -> LogRebuild.run(file(), false, NOON))
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("event 31")
        .hasMessageContaining("--accept-loss");
    assertThat(Files.readAllBytes(file())).isEqualTo(before);
    assertThat(filesKept()).isZero();

    assertThat(LogRebuild.run(file(), true, NOON).events()).isEqualTo(30);
    assertThat(filesKept()).isPositive();
    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written.subList(0, 30));
      log.append("saw1", List.of(cut("b2", 1)));
    }
    assertThat(LogCheck.of(file()).problems()).isEmpty();
  }

  @Test
  void anEndThatIsMissingIsGivenUpOnlyWhenTold() throws Exception {
    run("DROP TRIGGER event_is_never_deleted", "DELETE FROM event WHERE id > 70");
    run("DELETE FROM cut WHERE event > 70", Triggers.NEVER_DELETED);
    assertThatThrownBy(this::open).hasMessageContaining("10 events are lost");
    assertThatThrownBy(() -> LogRebuild.run(file(), false, NOON))
        .hasMessageContaining("its end is missing");
    assertThat(LogRebuild.run(file(), true, NOON).events()).isEqualTo(70);
    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written.subList(0, 70));
    }
  }

  @Test
  void aLogWithoutDigestsOpensAndIsChainedFromThenOn() throws Exception {
    makeOld();
    assertThat(LogCheck.of(file()).problems()).isEmpty();
    assertThat(LogCheck.of(file()).remarks()).anySatisfy(r -> assertThat(r).contains("no digests"));
    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written);
      log.append("saw1", List.of(cut("b1", CUTS + 1)));
      assertThat(log.verify()).isEmpty();
    }
    assertThat(LogCheck.of(file()).remarks()).isEmpty();
    open().close();
    run("DROP TRIGGER event_is_never_changed");
    run("UPDATE event SET station = 'saw2' WHERE id = 3", Triggers.NEVER_CHANGED);
    assertThatThrownBy(this::open)
        .as("an event from before the digests")
        .hasMessageContaining("the events up to " + 2 * CUTS + " are not what was written");
  }

  @Test
  void aLogWithoutDigestsIsRebuiltToo() throws Exception {
    makeOld();
    run("UPDATE cut SET kind = 'trim' WHERE count = 7");
    LogRebuild.run(file(), false, NOON);
    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written);
    }
  }

  @Test
  void aTableOrViewThatThePublicAddedIsLeftAlone() throws Exception {
    run("CREATE VIEW office AS SELECT part FROM cut_log", "CREATE INDEX office_i ON cut (stick)");
    try (CutLog log = open()) {
      assertThat(all(log)).isEqualTo(written);
    }
  }

  private static final class Triggers {
    static final String NEVER_DELETED =
        """
        CREATE TRIGGER event_is_never_deleted BEFORE DELETE ON event
        BEGIN SELECT raise(ABORT, 'the cut log is append-only'); END
        """;
    static final String NEVER_CHANGED =
        """
        CREATE TRIGGER event_is_never_changed BEFORE UPDATE ON event
        BEGIN SELECT raise(ABORT, 'the cut log is append-only'); END
        """;
  }
}
