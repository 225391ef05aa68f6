package org.kerftally.daemon.cutlog;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.kerftally.shared.event.Recorded;

/**
 * Holds all tables that are told from the events, and the views that people read.
 *
 * <p>The views are relied on from outside; the tables below them are not. A view shows a length in
 * millimetres as the {@code REAL} nearest to it, the table holds it exactly.
 */
final class Projections implements AutoCloseable {

  /** Every table, one that is referred to before the one that refers to it. */
  static final List<Projection.Table> TABLES =
      List.of(
          JobTable.TABLE,
          JobPartTable.TABLE,
          ShortageTable.TABLE,
          TargetTable.TABLE,
          CutTable.TABLE,
          FaultTable.TABLE,
          OffcutTable.TABLE);

  private static final Map<String, String> VIEWS =
      Map.of(
          "cut_log",
          """
          CREATE VIEW cut_log AS
          SELECT coalesce(cut_at, booked_at) AS at, station, boot, count, seq, job, part, stick,
            wanted_nm / 1e6 AS wanted_mm, actual_nm / 1e6 AS actual_mm, kind, booked_at
          FROM cut ORDER BY event
          """,
          "target_log",
          """
          CREATE VIEW target_log AS
          SELECT seq, station, job, part, position_nm / 1e6 AS position_mm, sent_at, answered_at,
            purpose
          FROM target ORDER BY event
          """,
          "job_counts",
          """
          CREATE VIEW job_counts AS
          SELECT want.job AS job, want.part AS part, want.wanted AS wanted,
            (SELECT count(*) FROM cut
              WHERE cut.job = want.job AND cut.part = want.part AND kind = 'part') AS made,
            (SELECT count(*) FROM cut
              WHERE cut.job = want.job AND cut.part = want.part AND kind = 'rejected') AS rejected,
            (SELECT coalesce(sum(missing), 0) FROM shortage
              WHERE shortage.job = want.job AND shortage.part = want.part) AS short
          FROM (SELECT job, part, sum(wanted) AS wanted, min(line) AS line
              FROM job_part GROUP BY job, part) AS want
            JOIN job ON job.job = want.job
          WHERE job.state <> 'withdrawn'
          ORDER BY job.event, want.line
          """,
          "fault_log",
          """
          CREATE VIEW fault_log AS
          SELECT station, code, text, since, until FROM (
            SELECT event, station, code, text, since, until FROM fault
            UNION ALL
            SELECT event, station, kind || '-cut',
              'Saw cycle ' || count || ' of ' || boot || coalesce(': ' || remark, ''),
              booked_at, booked_at
            FROM cut WHERE kind IN ('suspect', 'unattributed'))
          ORDER BY event
          """,
          "offcuts",
          """
          CREATE VIEW offcuts AS
          SELECT label, material, length_nm / 1e6 AS length_mm, job, state
          FROM offcut ORDER BY event
          """);

  private final List<Projection> projections;

  private Projections(List<Projection> projections) {
    this.projections = projections;
  }

  /** Creates all tables and views, which do not exist. */
  static void create(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (Projection.Table table : TABLES) {
        for (String sql : table.ddl()) {
          statement.execute(sql);
        }
      }
      for (String sql : VIEWS.values()) {
        statement.execute(sql);
      }
    }
  }

  /** Drops all tables and views that exist. */
  static void drop(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (String view : VIEWS.keySet()) {
        statement.execute("DROP VIEW IF EXISTS " + view);
      }
      for (int i = TABLES.size() - 1; i >= 0; i--) {
        statement.execute("DROP TABLE IF EXISTS " + TABLES.get(i).table());
      }
    }
  }

  /** Opens the keepers of all tables, which exist. */
  static Projections open(Connection connection) throws SQLException {
    List<Projection> opened = new ArrayList<>();
    for (Projection.Table table : TABLES) {
      opened.add(table.opener().open(connection));
    }
    return new Projections(List.copyOf(opened));
  }

  /** Takes one event into all tables. */
  void apply(Recorded recorded) throws SQLException {
    for (Projection projection : projections) {
      projection.apply(recorded);
    }
  }

  @Override
  public void close() throws SQLException {
    for (Projection projection : projections) {
      projection.close();
    }
  }
}
