package org.kerftally.daemon.cutlog;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.catchThrowableOfType;
import static org.kerftally.daemon.cutlog.Samples.cut;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;

final class DiskErrorTest {

  private static final int BUSY_MILLIS = 50;
  private static final int EVENTS = 30;
  private static final int MAX_ROUNDS = 200;

  @TempDir Path folder;

  private Path file() {
    return folder.resolve("kerftally.db");
  }

  private CutLog open(long maxPages) {
    return CutLog.open(file(), Clock.systemUTC(), new Database.Bounds(BUSY_MILLIS, maxPages));
  }

  private static List<Recorded> all(CutLog log) {
    List<Recorded> events = new ArrayList<>();
    log.replay(events::add);
    return events;
  }

  private long pages() throws SQLException {
    try (Connection other = DriverManager.getConnection("jdbc:sqlite:" + file());
        var statement = other.createStatement();
        var row = statement.executeQuery("PRAGMA page_count")) {
      return row.getLong(1);
    }
  }

  /** Lets the file grow by one page more each time, so that the append fails at every place. */
  @Test
  void anAppendThatRunsOutOfSpaceWritesNothingWhereverItFails() throws SQLException, IOException {
    open(Database.Bounds.DEFAULT.maxPages()).close();
    long pages = pages();
    List<Event> events = new ArrayList<>();
    for (int i = 1; i <= EVENTS; i++) {
      events.add(cut("b1", i));
      events.add(new LinkDown("x".repeat(1500)));
    }
    int failures = 0;
    for (int more = 0; more < MAX_ROUNDS; more++) {
      List<Recorded> told = new ArrayList<>();
      try (CutLog log = open(pages + more)) {
        log.subscribe(told::add);
        CutLogException e =
            catchThrowableOfType(CutLogException.class, () -> log.append("saw1", events));
        if (e == null) {
          assertThat(all(log)).isEqualTo(told).hasSize(events.size());
          break;
        }
        failures++;
        assertThat(e.mayRetry()).isTrue();
        assertThat(told).isEmpty();
        assertThat(all(log)).isEmpty();
        assertThat(log.verify()).isEmpty();
        assertThat(log.append("saw1", List.of(new LinkUp())).get(0).id())
            .as("the log goes on with what still has room")
            .isEqualTo(1);
      } catch (CutLogException e) {
        assertThat(e.mayRetry()).as("not even one small event has room: " + e).isTrue();
      }
      Files.delete(file());
      Files.delete(Seal.beside(file()));
      open(Database.Bounds.DEFAULT.maxPages()).close();
    }
    assertThat(failures).isGreaterThan(5);
    try (CutLog log = open(Database.Bounds.DEFAULT.maxPages())) {
      assertThat(all(log)).hasSize(events.size());
      assertThat(log.verify()).isEmpty();
    }
  }

  @Test
  void anAppendGoesThroughAgainOnceAnOfficeProgramLetsItsLockGo() throws SQLException {
    try (CutLog log = open(Database.Bounds.DEFAULT.maxPages());
        Connection office = DriverManager.getConnection("jdbc:sqlite:" + file());
        var statement = office.createStatement()) {
      log.append("saw1", List.of(cut("b1", 1)));
      statement.execute("BEGIN IMMEDIATE");
      CutLogException e =
          catchThrowableOfType(
              CutLogException.class, () -> log.append("saw1", List.of(cut("b1", 2))));
      assertThat(e.mayRetry()).isTrue();
      statement.execute("ROLLBACK");
      assertThat(all(log)).hasSize(1);
      log.append("saw1", List.of(cut("b1", 2)));
      assertThat(all(log)).hasSize(2);
      assertThat(log.verify()).isEmpty();
    }
  }

  @Test
  void aReaderInTheOfficeDoesNotHoldAppendsUp() throws SQLException {
    try (CutLog log = open(Database.Bounds.DEFAULT.maxPages());
        Connection office = DriverManager.getConnection("jdbc:sqlite:" + file());
        var statement = office.createStatement()) {
      log.append("saw1", List.of(cut("b1", 1)));
      statement.execute("BEGIN");
      try (var rows = statement.executeQuery("SELECT count(*) FROM cut_log")) {
        assertThat(rows.getLong(1)).isEqualTo(1);
      }
      log.append("saw1", List.of(cut("b1", 2)));
      assertThat(log.cuts("supers")).hasSize(2);
      statement.execute("ROLLBACK");
    }
  }

  /** Takes a table away under the log: an error that nobody can say the extent of. */
  @Test
  void afterAnErrorOfUnknownExtentTheLogMustBeOpenedAgain() throws SQLException {
    try (CutLog log = open(Database.Bounds.DEFAULT.maxPages())) {
      log.append("saw1", List.of(cut("b1", 1)));
      try (Connection stranger = DriverManager.getConnection("jdbc:sqlite:" + file());
          var statement = stranger.createStatement()) {
        statement.execute("DROP TABLE fault");
      }
      assertThatThrownBy(() -> log.append("saw1", List.of(new FaultCleared("1"))))
          .isInstanceOf(CutLogException.class)
          .hasMessageContaining("fault");
      assertThatThrownBy(() -> log.append("saw1", List.of(cut("b1", 3))))
          .isInstanceOf(CutLogException.class)
          .hasMessageContaining("must be opened again");
    }
  }

  @Test
  void aClosedLogRefusesAppends() {
    CutLog log = open(Database.Bounds.DEFAULT.maxPages());
    log.close();
    log.close();
    assertThatThrownBy(() -> log.append("saw1", List.of(new LinkUp())))
        .isInstanceOf(CutLogException.class);
  }
}
