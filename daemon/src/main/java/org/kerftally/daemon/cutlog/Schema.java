package org.kerftally.daemon.cutlog;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * Knows what a cut log file is and makes one of an empty file.
 *
 * <pre>
 *  application_id   0x4b465459, "KFTY": a file of another program is left alone
 *  user_version     the schema's version: a newer one is refused
 *  event            id | at | station | kind | body | digest   the truth, append-only
 *  chain            begins_after | digest               where the digests begin, see Chain
 *  job, cut, ...                                        told from the events
 *  cut_log, ...                                         views for people
 * </pre>
 */
final class Schema {

  static final int APPLICATION_ID = 0x4b465459;

  /**
   * The version of all this, and of what the tables tell: a change to either needs a new one, for
   * tables of a former version are told anew, and such of the same version that differ are damage.
   */
  static final int VERSION = 3;

  /** The version before events carried digests. */
  private static final int WITHOUT_CHAIN = 1;

  /** What to do about a damaged file. */
  static final String WAY_OUT =
      "It was left as it is. Run \"kerftally log check\" for all that was found; then put back a"
          + " backup, the .db with its -wal and -seal files, or let \"kerftally log rebuild\" make"
          + " the tables anew from the events.";

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

  /**
   * Adds what version 2 has over version 1; version 3 differs in the tables that are told. A new
   * file goes through both, so that the text of each table is the same however old a file is.
   */
  private static final List<String> CHAIN =
      List.of(
          "ALTER TABLE event ADD COLUMN digest TEXT CHECK (length(digest) = 32)",
          """
          CREATE TRIGGER event_carries_its_digest BEFORE INSERT ON event
          WHEN new.digest IS NULL
          BEGIN SELECT raise(ABORT, 'an event carries its digest'); END
          """,
          """
          CREATE TABLE chain (
            begins_after INTEGER PRIMARY KEY,
            digest TEXT NOT NULL CHECK (length(digest) = 32)
          ) STRICT
          """);

  private Schema() {}

  /** Says what a file is. */
  enum Kind {
    /** There is nothing in it: a cut log can be made of it. */
    EMPTY,
    /** A cut log whose events carry no digests yet. */
    WITHOUT_CHAIN,
    /** A cut log whose events carry digests and whose tables a former version told. */
    FORMER,
    /** A cut log of this version. */
    CURRENT;

    /** Tells whether the events carry digests. */
    boolean isChained() {
      return this == FORMER || this == CURRENT;
    }
  }

  /**
   * Refuses a file that is not a cut log this version can keep. Changes nothing and looks at
   * nothing but the file's head.
   *
   * @throws CutLogException when it is another program's, newer than this version, or damaged
   */
  static Kind inspect(Connection connection, Path file) throws SQLException {
    int application = number(connection, "PRAGMA application_id");
    int version = number(connection, "PRAGMA user_version");
    int objects = number(connection, "SELECT count(*) FROM sqlite_schema");
    if (application == 0 && version == 0 && objects == 0) {
      return Kind.EMPTY;
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
    if (version < WITHOUT_CHAIN || objects == 0) {
      throw damaged(file, "its head says schema " + version + " with " + objects + " objects");
    }
    if (version == WITHOUT_CHAIN) {
      return Kind.WITHOUT_CHAIN;
    }
    return version == VERSION ? Kind.CURRENT : Kind.FORMER;
  }

  /** Returns the refusal of a damaged file. */
  static CutLogException damaged(Path file, String finding) {
    return new CutLogException(
        file + " is damaged: " + finding + (finding.endsWith(".") ? " " : ". ") + WAY_OUT);
  }

  /** Makes a cut log of an empty file, in the transaction that is open. */
  static void create(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (String sql : EVENT) {
        statement.execute(sql);
      }
      Projections.create(connection);
      statement.execute("PRAGMA application_id = " + APPLICATION_ID);
    }
    addChain(connection, 0, Chain.start());
  }

  /**
   * Makes a log of a former version one of this, in the transaction that is open: its tables and
   * views are told anew, since this version may tell them otherwise, and its events carry digests
   * from now on where they did not.
   */
  static void makeCurrent(Connection connection, Kind former, long beginsAfter, String digest)
      throws SQLException {
    Projections.drop(connection);
    Projections.create(connection);
    try (Projections projections = Projections.open(connection)) {
      Queries.eachEvent(
          connection,
          former.isChained(),
          row -> {
            projections.apply(row.decode());
            return true;
          });
    }
    if (former.isChained()) {
      setVersion(connection);
    } else {
      addChain(connection, beginsAfter, digest);
    }
  }

  private static void setVersion(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute("PRAGMA user_version = " + VERSION);
    }
  }

  /** Lets the events of a log carry digests from now on, in the transaction that is open. */
  private static void addChain(Connection connection, long beginsAfter, String digest)
      throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (String sql : CHAIN) {
        statement.execute(sql);
      }
    }
    setVersion(connection);
    try (Command begin = new Command(connection, "INSERT INTO chain VALUES (?, ?)")) {
      begin.run(beginsAfter, digest);
    }
  }

  /** Returns all objects of a file with the text that made each, in the order of their names. */
  static Map<String, String> objects(Connection connection) throws SQLException {
    Map<String, String> objects = new TreeMap<>();
    try (Statement statement = connection.createStatement();
        ResultSet rows =
            statement.executeQuery(
                "SELECT type, name, tbl_name, sql FROM sqlite_schema WHERE sql IS NOT NULL")) {
      while (rows.next()) {
        objects.put(
            rows.getString(1) + ' ' + rows.getString(2),
            rows.getString(3) + ": " + rows.getString(4));
      }
    }
    return objects;
  }

  private static int number(Connection connection, String sql) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(sql)) {
      return row.next() ? row.getInt(1) : 0;
    }
  }
}
