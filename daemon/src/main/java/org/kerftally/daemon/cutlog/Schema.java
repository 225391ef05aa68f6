package org.kerftally.daemon.cutlog;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;

/**
 * Knows what a cut log file is and makes one of an empty file.
 *
 * <pre>
 *  application_id   0x4b465459, "KFTY": a file of another program is left alone
 *  user_version     the schema's version: a newer one is refused
 *  event            id | at | station | kind | body     the truth, append-only
 *  job, cut, ...                                        told from the events
 *  cut_log, ...                                         views for people
 * </pre>
 */
final class Schema {

  static final int APPLICATION_ID = 0x4b465459;
  static final int VERSION = 1;

  /** Most findings of a damaged file that are told. */
  private static final int MAX_FINDINGS = 5;

  private static final List<String> EVENT =
      List.of(
          """
          CREATE TABLE event (
            id INTEGER PRIMARY KEY,
            at TEXT NOT NULL,
            station TEXT,
            kind TEXT NOT NULL,
            body TEXT NOT NULL CHECK (json_valid(body))
          ) STRICT
          """,
          """
          CREATE TRIGGER event_is_never_changed BEFORE UPDATE ON event
          BEGIN SELECT raise(ABORT, 'the cut log is append-only'); END
          """,
          """
          CREATE TRIGGER event_is_never_deleted BEFORE DELETE ON event
          BEGIN SELECT raise(ABORT, 'the cut log is append-only'); END
          """,
          """
          CREATE TRIGGER event_follows_the_last BEFORE INSERT ON event
          WHEN new.id <> (SELECT coalesce(max(id), 0) + 1 FROM event)
          BEGIN SELECT raise(ABORT, 'an event''s id follows the last one'); END
          """);

  private Schema() {}

  /**
   * Refuses a file that is not a cut log this version can keep. Changes nothing.
   *
   * @return whether the file is empty, so that a cut log can be made of it
   * @throws CutLogException when it is another program's, newer than this version, or damaged
   */
  static boolean inspect(Connection connection, Path file) throws SQLException {
    int application = number(connection, "PRAGMA application_id");
    int version = number(connection, "PRAGMA user_version");
    int objects = number(connection, "SELECT count(*) FROM sqlite_schema");
    if (application == 0 && version == 0 && objects == 0) {
      return true;
    }
    if (application != APPLICATION_ID) {
      throw new CutLogException(
          file
              + " is a database of another program, not a cut log. It was left as it is. Move it"
              + " away, or name another folder.");
    }
    if (version > VERSION) {
      throw new CutLogException(
          file
              + " was written by a newer version of Kerftally (schema "
              + version
              + ", this version knows "
              + VERSION
              + "). It was left as it is. Run the newer version.");
    }
    List<String> findings = quickCheck(connection);
    if (!findings.isEmpty()) {
      throw damaged(file, String.join("; ", findings));
    }
    return false;
  }

  /** Returns the refusal of a damaged file. */
  static CutLogException damaged(Path file, String finding) {
    return new CutLogException(
        file
            + " is damaged: "
            + finding
            + ". It was left as it is. Put back a copy from a backup together with its -wal file, or"
            + " recover what can be read with the sqlite3 shell's .recover.");
  }

  /** Makes a cut log of an empty file, in the transaction that is open. */
  static void create(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (String sql : EVENT) {
        statement.execute(sql);
      }
      Projections.create(connection);
      statement.execute("PRAGMA application_id = " + APPLICATION_ID);
      statement.execute("PRAGMA user_version = " + VERSION);
    }
  }

  private static List<String> quickCheck(Connection connection) throws SQLException {
    List<String> findings = new ArrayList<>();
    try (Statement statement = connection.createStatement();
        ResultSet rows = statement.executeQuery("PRAGMA quick_check(" + MAX_FINDINGS + ")")) {
      while (rows.next()) {
        findings.add(rows.getString(1).strip().replace('\n', ' '));
      }
    }
    return findings.equals(List.of("ok")) ? List.of() : findings;
  }

  private static int number(Connection connection, String sql) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(sql)) {
      return row.next() ? row.getInt(1) : 0;
    }
  }
}
