package org.kerftally.daemon.cutlog;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteException;

/**
 * Opens connections to a cut log file and tells what their errors mean.
 *
 * <p>The writer runs with a write-ahead log and {@code synchronous = FULL}: when a commit returns,
 * the write-ahead log was synced, so the commit survives a kill and, as far as the disk keeps its
 * word, a power failure. Readers, ours and the office's, never hold the writer up.
 */
final class Database {

  /** Bounds that a test may draw closer. */
  record Bounds(int busyTimeoutMillis, long maxPages) {

    /**
     * The bounds in use: an office program may hold a lock for 5 s; the file may grow to 64 GiB at
     * 4 KiB a page.
     */
    static final Bounds DEFAULT = new Bounds(5_000, 16L * 1024 * 1024);
  }

  /** What the write-ahead log is cut back to after a checkpoint. */
  private static final long MAX_WAL_BYTES = 16L * 1024 * 1024;

  private static final int PRIMARY_CODE_MASK = 0xff;
  private static final int SQLITE_BUSY = 5;
  private static final int SQLITE_LOCKED = 6;
  private static final int SQLITE_READONLY = 8;
  private static final int SQLITE_CORRUPT = 11;
  private static final int SQLITE_FULL = 13;
  private static final int SQLITE_CONSTRAINT = 19;
  private static final int SQLITE_NOTADB = 26;

  private Database() {}

  /** Opens a connection that changes nothing in the file yet. */
  static Connection connect(Path file, Bounds bounds) throws SQLException {
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null || !Files.isDirectory(folder)) {
      throw new CutLogException("the folder of " + file + " does not exist. Create it.");
    }
    // As a file URI no character of the path can be taken for a parameter.
    Connection connection =
        DriverManager.getConnection("jdbc:sqlite:" + file.toAbsolutePath().toUri());
    run(connection, "PRAGMA busy_timeout = " + bounds.busyTimeoutMillis());
    return connection;
  }

  /** Makes a connection the writer. */
  static void prepareWriter(Connection connection, Path file, Bounds bounds) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("PRAGMA journal_mode = WAL")) {
      String mode = row.next() ? row.getString(1) : "none";
      if (!mode.equals("wal")) {
        throw new CutLogException(
            file
                + " cannot keep a write-ahead log (its mode is "
                + mode
                + "). The folder must be on a disk of this machine, not on a network share.");
      }
    }
    run(connection, "PRAGMA synchronous = FULL");
    run(connection, "PRAGMA foreign_keys = ON");
    run(connection, "PRAGMA recursive_triggers = ON");
    run(connection, "PRAGMA trusted_schema = OFF");
    run(connection, "PRAGMA journal_size_limit = " + MAX_WAL_BYTES);
    run(connection, "PRAGMA max_page_count = " + bounds.maxPages());
  }

  /** Opens a second connection that can only read. */
  static Connection connectReader(Path file, Bounds bounds) throws SQLException {
    Connection connection = connect(file, bounds);
    run(connection, "PRAGMA query_only = ON");
    return connection;
  }

  /**
   * Opens a connection that leaves the file and its write-ahead log as they are, even when it is
   * the last one to be closed, which else moves the one into the other.
   */
  static Connection connectUntouching(Path file, Bounds bounds) throws SQLException {
    if (sizeOf(beside(file, "-journal")) > 0) {
      // A kill within the very first step left the file half made. Only a writer can undo that.
      return connectReader(file, bounds);
    }
    SQLiteConfig config = new SQLiteConfig();
    config.setReadOnly(true);
    config.setBusyTimeout(bounds.busyTimeoutMillis());
    return DriverManager.getConnection(
        "jdbc:sqlite:" + file.toAbsolutePath().toUri(), config.toProperties());
  }

  /** Returns the file that stands beside the database under a longer name. */
  static Path beside(Path file, String suffix) {
    return file.resolveSibling(file.getFileName() + suffix);
  }

  /** Returns a file's size, 0 when there is none. */
  static long sizeOf(Path file) {
    return file.toFile().length();
  }

  /** Runs one statement. */
  static void run(Connection connection, String sql) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
  }

  /** Tells whether the database refused a row because of a rule of its table. */
  static boolean isRuleBroken(SQLException e) {
    return code(e) == SQLITE_CONSTRAINT;
  }

  /** Tells whether nothing was written and the same may succeed later. */
  static boolean mayRetry(SQLException e) {
    int code = code(e);
    return code == SQLITE_BUSY
        || code == SQLITE_LOCKED
        || code == SQLITE_FULL
        || code == SQLITE_READONLY;
  }

  /** Tells whether the file itself is at fault. */
  static boolean isDamage(SQLException e) {
    return code(e) == SQLITE_CORRUPT || code(e) == SQLITE_NOTADB;
  }

  private static int code(SQLException e) {
    return e instanceof SQLiteException known
        ? known.getResultCode().code & PRIMARY_CODE_MASK
        : e.getErrorCode() & PRIMARY_CODE_MASK;
  }
}
