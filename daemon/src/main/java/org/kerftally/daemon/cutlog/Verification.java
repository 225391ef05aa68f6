package org.kerftally.daemon.cutlog;

import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Recorded;

/**
 * Looks over a whole cut log: the pages, the events, the tables.
 *
 * <p>Each part leans on the one before. The database finds pages and indexes that do not fit
 * together; the {@link Chain} finds events that are missing or are not what was written; from
 * events that are proven so, the tables are told afresh in memory, and compared row by row; and the
 * {@link Seal} finds that the end is gone. What none of them finds is a log whose every part was
 * changed to agree.
 *
 * <p>Everything is read in one transaction, so that a service that writes meanwhile does not
 * disturb the comparison. Changes nothing.
 */
final class Verification {

  /** Most problems that are told. */
  static final int MAX_PROBLEMS = 20;

  private static final List<String> SOUND = List.of("ok");

  private final Connection stored;
  private final List<String> problems = new ArrayList<>();
  private final TreeSet<String> stations = new TreeSet<>();
  private boolean chained;
  private boolean current;
  private Seal.Mark start = new Seal.Mark(0, Chain.start());
  private Seal.Mark last = new Seal.Mark(0, Chain.start());
  private long sealedId;
  private @Nullable String digestAtSeal;
  private @Nullable Recorded first;
  private @Nullable Recorded latest;
  private boolean eventsAreSound = true;

  private Verification(Connection stored) {
    this.stored = stored;
  }

  /**
   * Says what was found.
   *
   * @param last the last event of the sound beginning, with its digest
   * @param first the first event, or {@code null} when there is none
   * @param latest the last event of the sound beginning, or {@code null} when there is none
   * @param stations the stations that have events
   * @param problems what is wrong, in words; empty when nothing is
   * @param eventsAreSound whether every event is as it was written, to the end that is sealed
   */
  record Findings(
      Seal.Mark last,
      @Nullable Recorded first,
      @Nullable Recorded latest,
      List<String> stations,
      List<String> problems,
      boolean eventsAreSound) {

    /** Copies the lists. */
    Findings {
      stations = List.copyOf(stations);
      problems = List.copyOf(problems);
    }
  }

  /**
   * Looks a log over.
   *
   * @param stored a connection to it with no transaction open
   * @param kind what it is
   * @param seal what the seal told before the connection was opened, or {@code null}
   */
  static Findings of(Connection stored, Schema.Kind kind, Seal.@Nullable Mark seal)
      throws SQLException {
    Verification verification = new Verification(stored);
    verification.chained = kind.isChained();
    verification.current = kind == Schema.Kind.CURRENT;
    Database.run(stored, "BEGIN");
    try {
      verification.look(seal);
    } finally {
      Database.run(stored, "ROLLBACK");
    }
    return new Findings(
        verification.last,
        verification.first,
        verification.latest,
        List.copyOf(verification.stations),
        verification.problems,
        verification.eventsAreSound);
  }

  private void look(Seal.@Nullable Mark seal) throws SQLException {
    sealedId = seal == null ? 0 : seal.id();
    checkPages();
    try (Connection fresh = DriverManager.getConnection("jdbc:sqlite::memory:")) {
      Database.run(fresh, "BEGIN");
      Schema.create(fresh);
      // A log of a former version is told anew when it is opened.
      if (current) {
        compareObjects(Schema.objects(fresh));
      }
      findStart();
      try (Projections projections = Projections.open(fresh)) {
        Queries.eachEvent(stored, chained, row -> take(projections, row));
      }
      if (eventsAreSound && last.id() < start.id()) {
        eventProblem("event " + (last.id() + 1) + " is missing, and all after it");
      }
      if (seal != null) {
        compareEnd(seal);
      }
      // From a damaged event on, every later row would be called a difference.
      if (eventsAreSound && current) {
        compareTables(fresh);
      }
    } catch (SQLException e) {
      eventProblem("it cannot be read on: " + e.getMessage());
    }
  }

  private void checkPages() {
    List<String> found = new ArrayList<>();
    try (Statement statement = stored.createStatement();
        ResultSet rows = statement.executeQuery("PRAGMA integrity_check(" + MAX_PROBLEMS + ")")) {
      while (rows.next()) {
        found.add(rows.getString(1).strip().replace('\n', ' '));
      }
    } catch (SQLException e) {
      found.add(String.valueOf(e.getMessage()));
    }
    if (!found.equals(SOUND)) {
      found.forEach(each -> report("the database: " + each));
    }
  }

  private void compareObjects(Map<String, String> expected) throws SQLException {
    Map<String, String> found = Schema.objects(stored);
    for (Map.Entry<String, String> each : expected.entrySet()) {
      String there = found.get(each.getKey());
      if (!each.getValue().equals(there)) {
        report(each.getKey() + (there == null ? " is missing" : " is not the one that was made"));
      }
    }
  }

  private void findStart() throws SQLException {
    if (!chained) {
      return;
    }
    List<Seal.Mark> starts = Queries.chainStarts(stored);
    if (starts.size() == 1) {
      start = starts.get(0);
    } else {
      eventProblem("the table chain has " + starts.size() + " rows instead of one");
    }
  }

  private boolean take(Projections projections, Queries.EventRow row) {
    if (!eventsAreSound) {
      return false;
    }
    long expected = last.id() + 1;
    if (row.id() != expected) {
      eventProblem("event " + expected + " is missing; " + row.id() + " comes next");
      return false;
    }
    String digest = row.digestAfter(last.digest());
    if (!carries(row, digest)) {
      eventProblem(
          row.id() == start.id() && row.digest() == null
              ? "the events up to " + row.id() + " are not what was written"
              : "event " + row.id() + " (" + row.kind() + ") is not what was written");
      return false;
    }
    try {
      Recorded recorded = row.decode();
      projections.apply(recorded);
      note(recorded);
    } catch (SQLException | IllegalStateException e) {
      eventProblem("event " + row.id() + " contradicts the events before it: " + e.getMessage());
      return false;
    } catch (CutLogException e) {
      eventProblem(String.valueOf(e.getMessage()));
      return false;
    }
    last = new Seal.Mark(row.id(), digest);
    if (row.id() == sealedId) {
      digestAtSeal = digest;
    }
    return true;
  }

  private boolean carries(Queries.EventRow row, String digest) {
    if (!chained) {
      return true;
    }
    if (row.id() > start.id()) {
      return digest.equals(row.digest());
    }
    return row.digest() == null && (row.id() < start.id() || digest.equals(start.digest()));
  }

  private void note(Recorded recorded) {
    if (first == null) {
      first = recorded;
    }
    latest = recorded;
    if (recorded.station() != null) {
      stations.add(recorded.station());
    }
  }

  private void compareEnd(Seal.Mark seal) {
    if (!eventsAreSound || seal.id() == 0) {
      return;
    }
    if (last.id() < seal.id()) {
      long lost = seal.id() - last.id();
      eventProblem(
          "its end is missing: it ends with event "
              + last.id()
              + ", and event "
              + seal.id()
              + " was acknowledged ("
              + (lost == 1 ? "1 event is" : lost + " events are")
              + " lost)");
    } else if (!seal.digest().equals(digestAtSeal)) {
      eventProblem("it is not the log that was kept here: event " + seal.id() + " is another one");
    }
  }

  private void compareTables(Connection fresh) {
    for (Projection.Table table : Projections.TABLES) {
      try {
        compare(table.table(), fresh);
      } catch (SQLException e) {
        report("table " + table.table() + " cannot be read: " + e.getMessage());
      }
    }
  }

  private void compare(String table, Connection fresh) throws SQLException {
    String sql = "SELECT rowid, * FROM " + table + " ORDER BY rowid";
    try (PreparedStatement left = stored.prepareStatement(sql);
        PreparedStatement right = fresh.prepareStatement(sql);
        ResultSet found = left.executeQuery();
        ResultSet expected = right.executeQuery()) {
      int columns = expected.getMetaData().getColumnCount();
      while (problems.size() < MAX_PROBLEMS) {
        boolean more = found.next();
        boolean moreExpected = expected.next();
        if (!more && !moreExpected) {
          return;
        }
        if (more != moreExpected || !sameRow(found, expected, columns)) {
          report(
              "table "
                  + table
                  + ": found "
                  + (more ? row(found) : "no more rows")
                  + ", the events say "
                  + (moreExpected ? row(expected) : "no more rows"));
        }
      }
    }
  }

  private static boolean sameRow(ResultSet one, ResultSet other, int columns) throws SQLException {
    for (int i = 1; i <= columns; i++) {
      if (!Objects.equals(one.getObject(i), other.getObject(i))) {
        return false;
      }
    }
    return true;
  }

  private static String row(ResultSet row) throws SQLException {
    List<String> cells = new ArrayList<>();
    for (int i = 1; i <= row.getMetaData().getColumnCount(); i++) {
      cells.add(row.getMetaData().getColumnName(i) + "=" + row.getObject(i));
    }
    return cells.toString();
  }

  private void eventProblem(String problem) {
    eventsAreSound = false;
    problems.add(0, problem);
  }

  private void report(String problem) {
    if (problems.size() < MAX_PROBLEMS) {
      problems.add(problem);
    }
  }
}
