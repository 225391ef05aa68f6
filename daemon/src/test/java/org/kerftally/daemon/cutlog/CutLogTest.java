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
import java.time.Duration;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.TargetAccepted;

final class CutLogTest {

  private static final Clock CLOCK =
      Clock.fixed(NOON.plus(Duration.ofNanos(123_456_789)), ZoneOffset.UTC);

  @TempDir Path folder;

  private Path file() {
    return folder.resolve("kerftally.db");
  }

  private CutLog open() {
    return CutLog.open(file(), CLOCK);
  }

  private static List<Recorded> all(CutLog log) {
    List<Recorded> events = new ArrayList<>();
    log.replay(events::add);
    return events;
  }

  private Connection other() throws SQLException {
    return DriverManager.getConnection("jdbc:sqlite:" + file());
  }

  @Test
  void whatWasAppendedIsReplayedAfterReopening() {
    List<Recorded> written = new ArrayList<>();
    try (CutLog log = open()) {
      written.addAll(log.append("saw1", List.of(new LinkUp(), cut("b1", 1))));
      written.addAll(log.append(null, List.of(new JobWithdrawn("j", "newer revision"))));
      assertThat(all(log)).isEqualTo(written);
    }
    try (CutLog log = open()) {
      written.addAll(log.append("saw2", List.of(new LinkDown("pulled"))));
      assertThat(all(log)).isEqualTo(written);
      assertThat(log.verify()).isEmpty();
    }
    assertThat(written).extracting(Recorded::id).containsExactly(1L, 2L, 3L, 4L);
    assertThat(written).extracting(Recorded::station).containsExactly("saw1", "saw1", null, "saw2");
    assertThat(written.get(0).at()).isEqualTo(NOON.plusMillis(123));
  }

  @Test
  void aLogOfManyPagesIsReplayedInOrder() {
    try (CutLog log = open()) {
      for (int i = 0; i < 5; i++) {
        log.append("saw1", Collections.nCopies(250, new LinkUp()));
        assertThat(all(log)).hasSize((i + 1) * 250);
      }
      List<Recorded> events = all(log);
      for (int i = 0; i < events.size(); i++) {
        assertThat(events.get(i).id()).isEqualTo(i + 1L);
      }
    }
  }

  @Test
  void aShopEventHasNoStationEvenAmongStationEvents() {
    try (CutLog log = open()) {
      List<Recorded> written = log.append("saw1", List.of(new JobWithdrawn("j", ""), new LinkUp()));
      assertThat(written).extracting(Recorded::station).containsExactly(null, "saw1");
    }
  }

  @Test
  void aStationEventWithoutAStationIsRefused() {
    try (CutLog log = open()) {
      assertThatThrownBy(() -> log.append(null, List.of(new LinkUp())))
          .isInstanceOf(IllegalStateException.class);
      assertThat(all(log)).isEmpty();
    }
  }

  @Test
  void subscribersHearInOrderAfterTheCommit() throws SQLException {
    List<String> heard = new ArrayList<>();
    try (CutLog log = open();
        Connection reader = other()) {
      log.append("saw1", List.of(new LinkUp()));
      log.subscribe(r -> heard.add("first " + r.id() + " of " + count(reader)));
      log.follow(r -> heard.add("second " + r.id()));
      log.append("saw1", List.of(new LinkDown(""), new LinkUp()));
    }
    assertThat(heard)
        .containsExactly("second 1", "first 2 of 3", "second 2", "first 3 of 3", "second 3");
  }

  private static long count(Connection reader) {
    try (var statement = reader.createStatement();
        var row = statement.executeQuery("SELECT count(*) FROM event")) {
      return row.getLong(1);
    } catch (SQLException e) {
      throw new AssertionError(e);
    }
  }

  @Test
  void aSubscriberThatAppendsIsRefused() {
    try (CutLog log = open()) {
      log.subscribe(r -> log.append("saw1", List.of(new LinkUp())));
      assertThatThrownBy(() -> log.append("saw1", List.of(new LinkDown(""))))
          .isInstanceOf(IllegalStateException.class)
          .hasRootCauseMessage("a subscriber must not append; it may only enqueue");
      assertThat(all(log)).hasSize(1);
    }
  }

  @Test
  void aCutIsNeverBookedTwice() {
    List<Recorded> told = new ArrayList<>();
    try (CutLog log = open()) {
      log.append("saw1", List.of(cut("b1", 1)));
      log.subscribe(told::add);
      List<Event> again = List.of(cut("b1", 2), cut("b1", 1));
      assertThatThrownBy(() -> log.append("saw1", again))
          .isInstanceOf(IllegalStateException.class)
          .hasMessageContaining("cut.station, cut.boot, cut.count");
      assertThat(all(log)).hasSize(1);
      assertThat(told).isEmpty();
      assertThat(log.append("saw1", List.of(cut("b1", 2))))
          .extracting(Recorded::id)
          .containsExactly(2L);
      log.append("saw2", List.of(cut("b1", 1)));
      log.append("saw1", List.of(cut("b2", 1)));
      assertThat(log.verify()).isEmpty();
    }
  }

  @Test
  void anAnswerToATargetThatWasNeverSetIsRefused() {
    try (CutLog log = open()) {
      assertThatThrownBy(() -> log.append("saw1", List.of(new LinkUp(), new TargetAccepted(9))))
          .isInstanceOf(IllegalStateException.class)
          .hasMessageContaining("TargetAccepted[seq=9]");
      assertThat(all(log)).isEmpty();
    }
  }

  @Test
  void anAppendBeyondItsBoundIsRefused() {
    try (CutLog log = open()) {
      assertThat(log.append("saw1", List.of())).isEmpty();
      List<Event> tooMany = Collections.nCopies(CutLog.MAX_EVENTS + 1, new LinkUp());
      assertThatThrownBy(() -> log.append("saw1", tooMany))
          .isInstanceOf(IllegalStateException.class);
    }
  }

  @Test
  void eventsCannotBeChangedByAnyone() throws SQLException {
    try (CutLog log = open();
        Connection stranger = other();
        var statement = stranger.createStatement()) {
      log.append("saw1", List.of(new LinkUp()));
      for (String sql :
          List.of(
              "DELETE FROM event",
              "UPDATE event SET kind = 'link-down'",
              "INSERT INTO event (id, at, kind, body) VALUES (9, '', 'link-up', '{}')",
              "INSERT INTO event (id, at, kind, body) VALUES (2, '', 'link-up', 'not json')")) {
        assertThatThrownBy(() -> statement.execute(sql)).as(sql).isInstanceOf(SQLException.class);
      }
      assertThat(all(log)).hasSize(1);
    }
  }

  @Test
  void aTableThatWasTamperedWithIsFoundAndToldAgain() throws SQLException, IOException {
    try (CutLog log = open()) {
      log.append("saw1", List.of(cut("b1", 1), cut("b1", 2)));
      try (Connection stranger = other();
          var statement = stranger.createStatement()) {
        statement.execute("UPDATE cut SET kind = 'trim' WHERE count = 2");
        statement.execute("INSERT INTO fault VALUES (1, 'saw1', '1', 'made up', '2027', NULL)");
      }
      assertThat(log.verify())
          .hasSize(2)
          .anySatisfy(p -> assertThat(p).contains("table cut", "kind=trim", "kind=part"))
          .anySatisfy(p -> assertThat(p).contains("table fault", "made up"));
    }
    LogRebuild.run(file(), false, NOON);
    try (CutLog log = open()) {
      assertThat(log.verify()).isEmpty();
      log.append("saw1", List.of(cut("b1", 3)));
      assertThat(log.cuts("supers")).hasSize(3);
    }
  }

  @Test
  void aNewerSchemaIsRefusedAndLeftAlone() throws SQLException, IOException {
    open().close();
    try (Connection stranger = other();
        var statement = stranger.createStatement()) {
      statement.execute("PRAGMA user_version = " + (Schema.VERSION + 1));
    }
    byte[] before = Files.readAllBytes(file());
    assertThatThrownBy(this::open)
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("newer version");
    assertThat(Files.readAllBytes(file())).isEqualTo(before);
  }

  @Test
  void anotherProgramsDatabaseIsRefusedAndLeftAlone() throws SQLException, IOException {
    try (Connection stranger = other();
        var statement = stranger.createStatement()) {
      statement.execute("CREATE TABLE recipes (name TEXT)");
    }
    byte[] before = Files.readAllBytes(file());
    assertThatThrownBy(this::open)
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("another program");
    assertThat(Files.readAllBytes(file())).isEqualTo(before);
  }

  @Test
  void aFileThatIsNoDatabaseIsRefused() throws IOException {
    Files.writeString(file(), "part,length,qty\n".repeat(500));
    assertThatThrownBy(this::open)
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("is damaged");
  }

  @Test
  void aDamagedFileIsRefused() throws IOException {
    try (CutLog log = open()) {
      for (int i = 0; i < 300; i++) {
        log.append("saw1", List.of(cut("b1", i + 1)));
      }
    }
    byte[] bytes = Files.readAllBytes(file());
    int page = 4096;
    for (int at = bytes.length - 8 * page; at < bytes.length - 6 * page; at++) {
      bytes[at] = 0x55;
    }
    Files.write(file(), bytes);
    assertThatThrownBy(this::open)
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("is damaged")
        .hasMessageContaining("backup");
  }

  @Test
  void aFolderThatIsNotThereIsNamed() {
    assertThatThrownBy(() -> CutLog.open(folder.resolve("none/kerftally.db"), CLOCK))
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("does not exist");
  }

  @Test
  void aPathMayHoldAnyCharacter() throws IOException {
    Path odd = Files.createDirectory(folder.resolve("a b?c=d%20#é"));
    try (CutLog log = CutLog.open(odd.resolve("kerftally.db"), CLOCK)) {
      log.append("saw1", List.of(new LinkUp()));
    }
    assertThat(odd.resolve("kerftally.db")).exists();
  }

  /** What is beside the log only watches over it. */
  @Test
  void aSealThatCannotBeWrittenIsSaidAndHoldsNothingUp() throws IOException {
    Files.createDirectory(Seal.beside(file()));
    try (CutLog log = open()) {
      log.append("saw1", List.of(cut("b1", 1)));
      assertThat(log.sealTrouble()).contains("-seal cannot be written");
      Files.delete(Seal.beside(file()));
      log.append("saw1", List.of(cut("b1", 2)));
      assertThat(log.sealTrouble()).isNull();
    }
    assertThat(LogCheck.of(file()).problems()).isEmpty();
    try (CutLog log = open()) {
      assertThat(all(log)).hasSize(2);
    }
  }

  @Test
  void aLogThatIsAsItWasClosedIsToldByItsSealAndOneThatIsNotIsLookedOver()
      throws SQLException, IOException {
    try (CutLog log = open()) {
      log.append("saw1", List.of(cut("b1", 1)));
      assertThat(Seal.isAsClosed(file(), Seal.read(file()))).as("open").isFalse();
    }
    assertThat(Seal.isAsClosed(file(), Seal.read(file()))).isTrue();
    try (CutLog log = open()) {
      log.append("saw1", List.of(cut("b1", 2)));
    }
    try (Connection office = other();
        var statement = office.createStatement()) {
      statement.execute("CREATE VIEW office AS SELECT part FROM cut_log");
    }
    assertThat(Seal.isAsClosed(file(), Seal.read(file()))).as("changed").isFalse();
    try (CutLog log = open()) {
      assertThat(all(log)).hasSize(2);
    }
  }
}
