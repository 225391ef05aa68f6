package org.kerftally.daemon.service;

import java.io.IOException;
import java.sql.SQLException;
import org.jspecify.annotations.Nullable;
import org.sqlite.SQLiteErrorCode;
import org.sqlite.SQLiteException;

/** Lets the Nth operation of one kind fail, once, and notes which it was. For one thread. */
final class FaultOnce {

  /** What fails, and how. */
  enum Kind {
    /** A step on a file fails and has done nothing. */
    FILE,
    /** A file is written half, then the step fails. */
    TORN_WRITE,
    /** A file was moved or renamed, then the step fails all the same. */
    AFTER_MOVE,
    /** The disk is full; the statement did nothing. */
    DATABASE_FULL,
    /** Another program holds the database. */
    DATABASE_BUSY,
    /** The disk of the database fails; the statement did nothing. */
    DATABASE_ERROR,
    /** A commit was written, then the disk fails all the same. */
    AFTER_COMMIT
  }

  final Kind kind;
  private final int failAt;
  private int count;
  private @Nullable String failed;

  FaultOnce(Kind kind, int failAt) {
    this.kind = kind;
    this.failAt = failAt;
  }

  static FaultOnce never() {
    return new FaultOnce(Kind.FILE, Integer.MAX_VALUE);
  }

  /** Returns which operation failed, or null when the scenario ended before its turn. */
  @Nullable String failed() {
    return failed;
  }

  private boolean isTurn(boolean concerned, String what) {
    if (!concerned || failed != null) {
      return false;
    }
    count++;
    if (count != failAt) {
      return false;
    }
    failed = what;
    return true;
  }

  /** Is asked before a step on a file. */
  void beforeFile(String what) throws IOException {
    if (isTurn(kind == Kind.FILE, what)) {
      throw new IOException("injected before " + what);
    }
  }

  /** Tells whether this write ends in its middle. */
  boolean tears(String what) {
    return isTurn(kind == Kind.TORN_WRITE, what);
  }

  /** Is asked after a file was moved or renamed. */
  void afterMove(String what) throws IOException {
    if (isTurn(kind == Kind.AFTER_MOVE, what)) {
      throw new IOException("injected after " + what);
    }
  }

  /** Is asked before a statement. */
  void beforeStatement(String sql) throws SQLException {
    switch (kind) {
      case DATABASE_FULL -> fail(sql, SQLiteErrorCode.SQLITE_FULL);
      case DATABASE_BUSY -> fail(sql, SQLiteErrorCode.SQLITE_BUSY);
      case DATABASE_ERROR -> fail(sql, SQLiteErrorCode.SQLITE_IOERR_FSYNC);
      default -> {
        // Concerns files, or what comes after.
      }
    }
  }

  private void fail(String sql, SQLiteErrorCode code) throws SQLException {
    if (isTurn(true, sql)) {
      throw new SQLiteException("injected before " + sql, code);
    }
  }

  /** Is asked after a statement. */
  void afterStatement(String sql) throws SQLException {
    if (isTurn(kind == Kind.AFTER_COMMIT && sql.equals("COMMIT"), sql)) {
      throw new SQLiteException("injected after " + sql, SQLiteErrorCode.SQLITE_IOERR_FSYNC);
    }
  }
}
