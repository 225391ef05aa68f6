package org.kerftally.daemon.cutlog;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Looks at what lies where a cut log should be, and leaves it as it is.
 *
 * <p>Done before anything is opened for writing, because the database itself tidies up: it deletes
 * the write-ahead log of an empty file, and moves one that it can read in part into the file.
 *
 * @param file the file
 * @param kind what it is
 * @param findings what was found in it; nothing when it is empty
 * @param sealTrouble why the seal tells nothing, or {@code null} when it tells or there is none
 */
record LogInspection(
    Path file,
    Schema.Kind kind,
    Verification.@Nullable Findings findings,
    @Nullable String sealTrouble) {

  /**
   * Looks before the log is opened: at no more than the file's digest, where it is as it was closed
   * in good order, else at everything.
   *
   * @throws CutLogException see {@link #of}
   * @throws SQLException see {@link #of}
   */
  static LogInspection beforeOpening(Path file, Database.Bounds bounds) throws SQLException {
    Seal.Told seal = Seal.read(file);
    Seal.Mark mark = seal.mark();
    if (mark == null || !Seal.isAsClosed(file, seal)) {
      return of(file, bounds);
    }
    try (Connection connection = Database.connectUntouching(file, bounds)) {
      Schema.Kind kind = Schema.inspect(connection, file);
      if (kind != Schema.Kind.CURRENT) {
        return of(file, bounds);
      }
      return new LogInspection(
          file,
          kind,
          new Verification.Findings(mark, null, null, List.of(), List.of(), true),
          null);
    }
  }

  /**
   * Looks at everything.
   *
   * @throws CutLogException when it is no cut log that this version can keep, or its end cannot be
   *     there any more
   * @throws SQLException when the database says no; it may be damaged, or locked
   */
  static LogInspection of(Path file, Database.Bounds bounds) throws SQLException {
    // First the seal, then the log: one that is written meanwhile is then never behind it.
    Seal.Told seal = Seal.read(file);
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null || !Files.isDirectory(folder)) {
      throw new CutLogException("the folder of " + file + " does not exist. Create it.");
    }
    if (Database.sizeOf(file) == 0) {
      boolean hasWal = Database.sizeOf(Database.beside(file, "-wal")) > 0;
      return nothing(file, seal, hasWal);
    }
    try (Connection connection = Database.connectUntouching(file, bounds)) {
      Schema.Kind kind = Schema.inspect(connection, file);
      return kind == Schema.Kind.EMPTY
          ? nothing(file, seal, false)
          : new LogInspection(
              file, kind, Verification.of(connection, kind, seal.mark()), seal.trouble());
    }
  }

  private static LogInspection nothing(Path file, Seal.Told seal, boolean hasWal) {
    Seal.Mark mark = seal.mark();
    String had = null;
    if (mark != null && mark.id() > 0) {
      had = "event " + mark.id() + " was acknowledged here";
    } else if (hasWal) {
      had = "its write-ahead log is here";
    }
    if (had != null) {
      throw new CutLogException(
          file
              + (Files.exists(file) ? " is empty" : " is missing")
              + ", although "
              + had
              + ". Put it back, from a backup if need be, with its -wal and -seal files. To begin a"
              + " new log on purpose, move all files named "
              + file.getFileName()
              + "* away.");
    }
    return new LogInspection(file, Schema.Kind.EMPTY, null, seal.trouble());
  }

  /**
   * Returns the last event, id 0 when there is none.
   *
   * @throws CutLogException when anything is wrong with the log
   */
  Seal.Mark soundOrThrow() {
    if (findings == null) {
      return new Seal.Mark(0, Chain.start());
    }
    List<String> problems = findings.problems();
    if (!problems.isEmpty()) {
      String more = problems.size() > 1 ? " (and " + (problems.size() - 1) + " more)" : "";
      throw Schema.damaged(file, problems.get(0) + more);
    }
    return findings.last();
  }
}
