package org.kerftally.daemon.cutlog;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.kerftally.shared.event.Recorded;

/**
 * Makes a cut log anew from its own events: tables and views that were damaged or changed are told
 * again.
 *
 * <p>It is written as a new file, in one transaction, and looked over before it takes the old one's
 * place in one step. So it also mends a file whose pages no longer hang together, as long as its
 * events can be read, and an interruption leaves the old file. What was there is kept beside it
 * under another name, with its write-ahead log and seal.
 *
 * <p>Events that are damaged or missing cannot be made anew. A rebuild refuses such a log, unless
 * told to accept the loss: then the events before the damage are what remains, and the next time
 * the device is met, the saw cycles it counted since are booked as unattributed.
 *
 * <p>The site's folder must be held by a {@link SiteLock}, and no connection of this process be
 * open to the file.
 */
public final class LogRebuild {

  private static final List<String> PARTS = List.of("", "-wal", "-seal");

  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmssSSS'Z'", Locale.ROOT).withZone(ZoneOffset.UTC);

  private final Path db;
  private final Path kept;

  private LogRebuild(Path db, Path kept) {
    this.db = db;
    this.kept = kept;
  }

  /**
   * Says what a rebuild did.
   *
   * @param kept the file that holds what was there before
   * @param events how many events the log has now
   */
  public record Done(Path kept, long events) {}

  /**
   * Makes a log anew.
   *
   * @param db the log
   * @param acceptLoss whether events that cannot be read may be given up, with all after them
   * @param now names the copy that is kept
   * @throws CutLogException when it is no cut log, or its events are damaged and may not be given
   *     up; the file is then as it was
   * @throws IOException when the disk says no; the file is then as it was, or refused by the next
   *     start with what was there kept beside it
   */
  public static Done run(Path db, boolean acceptLoss, Instant now) throws IOException {
    if (!Files.isRegularFile(db)) {
      throw new CutLogException("there is no cut log at " + db + ".");
    }
    String name = String.valueOf(db.getFileName());
    String stem = name.endsWith(".db") ? name.substring(0, name.length() - 3) : name;
    Path kept = db.resolveSibling(stem + "-kept-" + STAMP.format(now) + ".db");
    return new LogRebuild(db, kept).run(acceptLoss);
  }

  private Done run(boolean acceptLoss) throws IOException {
    for (String part : PARTS) {
      Path from = Database.beside(db, part);
      if (Files.exists(from)) {
        Files.copy(from, Database.beside(kept, part));
        force(Database.beside(kept, part), StandardOpenOption.WRITE);
      }
    }
    forceFolder();
    boolean built = false;
    try {
      Seal.Mark last = build(acceptLoss);
      built = true;
      takePlace();
      Seal.begin(db, last).close();
      return new Done(kept, last.id());
    } catch (SQLException e) {
      throw new CutLogException("cannot rebuild " + db + ": " + e.getMessage(), e);
    } finally {
      tidy(Database.beside(kept, "-shm"));
      if (Database.sizeOf(Database.beside(kept, "-wal")) == 0) {
        tidy(Database.beside(kept, "-wal"));
      }
      tidy(draft());
      for (String part : built ? List.<String>of() : PARTS) {
        tidy(Database.beside(kept, part));
      }
    }
  }

  private static void tidy(Path file) {
    try {
      Files.deleteIfExists(file);
    } catch (IOException e) {
      // A left-over file does no harm; the error that led here, if any, is the one to tell.
    }
  }

  private Path draft() {
    return Database.beside(db, "-rebuilding");
  }

  private Seal.Mark build(boolean acceptLoss) throws SQLException, IOException {
    LogInspection inspection = LogInspection.of(kept, Database.Bounds.DEFAULT);
    Verification.Findings found = inspection.findings();
    if (found == null) {
      throw new CutLogException("there is no event in " + db + " to make it anew from.");
    }
    if (!found.eventsAreSound() && !acceptLoss) {
      throw new CutLogException(
          "the events themselves are damaged, and cannot be made anew: "
              + found.problems().get(0)
              + ". Put back a backup, the .db with its -wal and -seal files. Without one,"
              + " \"log rebuild --accept-loss\" keeps the first "
              + found.last().id()
              + " events and gives up the rest.");
    }
    Files.deleteIfExists(draft());
    boolean chained = inspection.kind().isChained();
    try (Connection old = Database.connectUntouching(kept, Database.Bounds.DEFAULT);
        Connection fresh = Database.connect(draft(), Database.Bounds.DEFAULT)) {
      Database.run(fresh, "PRAGMA synchronous = FULL");
      Database.run(fresh, "PRAGMA foreign_keys = ON");
      Database.run(fresh, "BEGIN IMMEDIATE");
      Schema.create(fresh);
      copy(old, chained, found.last(), fresh);
      Database.run(fresh, "COMMIT");
      List<String> problems = Verification.of(fresh, Schema.Kind.CURRENT, found.last()).problems();
      if (!problems.isEmpty()) {
        throw new CutLogException("the log made anew is not sound: " + problems.get(0));
      }
    }
    return found.last();
  }

  private static void copy(Connection old, boolean chained, Seal.Mark last, Connection fresh)
      throws SQLException {
    Seal.Mark[] before = {new Seal.Mark(0, Chain.start())};
    try (Projections projections = Projections.open(fresh);
        Command insert = new Command(fresh, Queries.INSERT_EVENT)) {
      Queries.eachEvent(
          old,
          chained,
          row -> {
            if (row.id() > last.id()) {
              return false;
            }
            String digest = row.digestAfter(before[0].digest());
            insert.run(row.id(), row.at(), row.station(), row.kind(), row.body(), digest);
            Recorded recorded = row.decode();
            projections.apply(recorded);
            before[0] = new Seal.Mark(row.id(), digest);
            return true;
          });
    }
  }

  private void takePlace() throws IOException {
    force(draft(), StandardOpenOption.WRITE);
    // The old write-ahead log must be gone first: it would be applied to the new file. What is
    // interrupted here is refused by its seal, and kept.
    Files.deleteIfExists(Database.beside(db, "-wal"));
    Files.deleteIfExists(Database.beside(db, "-shm"));
    Files.move(draft(), db, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    forceFolder();
  }

  private void forceFolder() throws IOException {
    Path folder = db.toAbsolutePath().getParent();
    if (folder != null && folder.getFileSystem().getSeparator().equals("/")) {
      force(folder, StandardOpenOption.READ);
    }
  }

  private static void force(Path file, StandardOpenOption how) throws IOException {
    try (FileChannel channel = FileChannel.open(file, how)) {
      channel.force(true);
    }
  }
}
