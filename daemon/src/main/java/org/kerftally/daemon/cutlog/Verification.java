package org.kerftally.daemon.cutlog;

import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Recorded;

/** Compares the tables of a cut log with tables told afresh from its events, in memory. */
final class Verification {

  /** Most problems that are told. */
  static final int MAX_PROBLEMS = 20;

  private final List<String> problems = new ArrayList<>();
  private long nextId = 1;

  private Verification() {}

  /** Replays all events to a consumer. */
  interface Replay {
    void run(Consumer<Recorded> consumer);
  }

  /** Returns what differs. */
  static List<String> problems(Connection stored, Replay replay) throws SQLException {
    Verification verification = new Verification();
    try (Connection fresh = DriverManager.getConnection("jdbc:sqlite::memory:")) {
      Projections.create(fresh);
      try (Projections projections = Projections.open(fresh)) {
        replay.run(recorded -> verification.take(projections, recorded));
      } catch (CutLogException e) {
        // From here on the events cannot be told, and every later row would be called a difference.
        return List.of(String.valueOf(e.getMessage()));
      }
      for (Projection.Table table : Projections.TABLES) {
        verification.compare(table.table(), stored, fresh);
      }
    }
    return List.copyOf(verification.problems);
  }

  private void take(Projections projections, Recorded recorded) {
    if (recorded.id() != nextId) {
      report("event " + nextId + " is missing; " + recorded.id() + " comes next");
    }
    nextId = recorded.id() + 1;
    try {
      projections.apply(recorded);
    } catch (SQLException | IllegalStateException e) {
      report("event " + recorded.id() + " contradicts the events before it: " + e.getMessage());
    }
  }

  private void compare(String table, Connection stored, Connection fresh) throws SQLException {
    String sql = "SELECT rowid, * FROM " + table + " ORDER BY rowid";
    try (PreparedStatement left = stored.prepareStatement(sql);
        PreparedStatement right = fresh.prepareStatement(sql);
        ResultSet found = left.executeQuery();
        ResultSet expected = right.executeQuery()) {
      while (problems.size() < MAX_PROBLEMS) {
        String foundRow = nextRow(found);
        String expectedRow = nextRow(expected);
        if (foundRow == null && expectedRow == null) {
          return;
        }
        if (foundRow == null || !foundRow.equals(expectedRow)) {
          report(
              "table "
                  + table
                  + ": found "
                  + (foundRow == null ? "no more rows" : foundRow)
                  + ", the events say "
                  + (expectedRow == null ? "no more rows" : expectedRow));
        }
      }
    }
  }

  private static @Nullable String nextRow(ResultSet rows) throws SQLException {
    if (!rows.next()) {
      return null;
    }
    List<String> cells = new ArrayList<>();
    for (int i = 1; i <= rows.getMetaData().getColumnCount(); i++) {
      cells.add(rows.getMetaData().getColumnName(i) + "=" + rows.getObject(i));
    }
    return cells.toString();
  }

  private void report(String problem) {
    if (problems.size() < MAX_PROBLEMS) {
      problems.add(problem);
    }
  }
}
