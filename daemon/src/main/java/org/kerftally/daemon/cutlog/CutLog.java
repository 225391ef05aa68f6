package org.kerftally.daemon.cutlog;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;

/**
 * Keeps everything that happened, in order and for good: the one truth of a site.
 *
 * <p>Why it is built so. A state that is kept beside its history can disagree with it after a
 * crash, and then nobody knows which is right. So the only thing that is ever written is what
 * happened; an event is durable before anything is done because of it, and every state, in memory
 * or in a table, is told from the events. The tables that people read are told in the very
 * transaction that adds the events, so that no reader sees one without the other, and they can be
 * told again ({@link LogRebuild}).
 *
 * <p>A log that is not, byte for byte, as it was closed in good order is looked over whole before
 * it is opened ({@link Verification}): one whose pages, events or tables are not what was written,
 * or whose end is missing, is refused, and never read into wrong counts.
 *
 * <p>What is handed to subscribers is the event as read back from its stored text, not as it was
 * given. What a live fold sees and what a replay will see can so not differ, and an event that
 * could not be read back is never written.
 *
 * <p>Guarantees: when {@link #append} returns, its events are on disk, all of them; when it throws,
 * none is, or, after an error of the disk itself, the log refuses to go on until opened again.
 * Events keep their order and are never changed. A saw cycle with the key (station, boot, count) is
 * in it at most once.
 *
 * <p>Safe for any thread. One connection writes, under one lock; another reads, under its own, and
 * does not hold the writer up. The site's folder must be held by a {@link SiteLock}.
 */
public final class CutLog implements EventLog, AutoCloseable {

  /** Most events in one append. */
  public static final int MAX_EVENTS = 50_000;

  /** How many events are read at a time, so that a long replay never holds a read transaction. */
  private static final int PAGE_EVENTS = 500;

  private final Path file;
  private final Clock clock;
  private final Writer writer;
  private final Connection reader;
  private final ReentrantLock writing = new ReentrantLock();
  private final ReentrantLock reading = new ReentrantLock();
  private final List<Consumer<Recorded>> subscribers = new CopyOnWriteArrayList<>();

  private CutLog(Path file, Clock clock, Writer writer, Connection reader) {
    this.file = file;
    this.clock = clock;
    this.writer = writer;
    this.reader = reader;
  }

  /**
   * Opens the cut log of a site, making it when there is none.
   *
   * @param db the file, in a folder that exists on a disk of this machine
   * @param clock tells when an event is written
   * @throws CutLogException when the file is damaged, another program's, written by a newer
   *     version, or cannot be opened; it is left as it was
   */
  public static CutLog open(Path db, Clock clock) {
    return open(db, clock, Database.Bounds.DEFAULT);
  }

  static CutLog open(Path db, Clock clock, Database.Bounds bounds) {
    List<AutoCloseable> opened = new ArrayList<>();
    try {
      LogInspection found = LogInspection.beforeOpening(db, bounds);
      Seal.Mark last = found.soundOrThrow();
      Connection connection = Database.connect(db, bounds);
      opened.add(connection);
      Database.prepareWriter(connection, db, bounds);
      makeCurrent(connection, found.kind(), last);
      Connection reader = Database.connectReader(db, bounds);
      opened.add(reader);
      Seal seal = Seal.begin(db, last);
      opened.add(seal);
      return new CutLog(db, clock, new Writer(db, connection, last, seal), reader);
    } catch (SQLException e) {
      closeAll(opened);
      throw Database.isDamage(e)
          ? Schema.damaged(db, String.valueOf(e.getMessage()))
          : new CutLogException(
              "cannot open the cut log " + db + ": " + e.getMessage(), e, Database.mayRetry(e));
    } catch (RuntimeException e) {
      closeAll(opened);
      throw e;
    }
  }

  private static void makeCurrent(Connection connection, Schema.Kind kind, Seal.Mark last)
      throws SQLException {
    if (kind == Schema.Kind.CURRENT) {
      return;
    }
    Database.run(connection, "BEGIN IMMEDIATE");
    if (kind == Schema.Kind.EMPTY) {
      Schema.create(connection);
    } else {
      Schema.makeCurrent(connection, kind, last.id(), last.digest());
    }
    Database.run(connection, "COMMIT");
  }

  /**
   * Appends events in one durable transaction, then tells the subscribers, in order.
   *
   * @param station the station the events belong to; a shop event is recorded without one
   * @param events what happened, at most {@link #MAX_EVENTS}
   * @return the events as recorded, with ids that follow each other without a gap
   * @throws CutLogException when the disk or the file says no; see there whether to try again
   * @throws IllegalStateException when an event contradicts the log, for example a saw cycle that
   *     is booked already; nothing was written. Also when a subscriber failed or appends itself
   */
  @Override
  public List<Recorded> append(@Nullable String station, List<? extends Event> events) {
    if (writing.isHeldByCurrentThread()) {
      throw new IllegalStateException("a subscriber must not append; it may only enqueue");
    }
    if (events.size() > MAX_EVENTS) {
      throw new IllegalStateException(
          events.size() + " events in one append, at most " + MAX_EVENTS + " are allowed");
    }
    if (events.isEmpty()) {
      return List.of();
    }
    writing.lock();
    try {
      Instant now = Stored.toMillis(clock.instant());
      List<Recorded> recorded = writer.append(now, station, events);
      recorded.forEach(this::tell);
      return recorded;
    } finally {
      writing.unlock();
    }
  }

  private void tell(Recorded recorded) {
    for (Consumer<Recorded> subscriber : subscribers) {
      try {
        subscriber.accept(recorded);
      } catch (RuntimeException e) {
        // Its fold is now behind the log. Going on would be worse than a restart, which replays.
        throw new IllegalStateException(
            "a subscriber failed at event " + recorded.id() + ", which is in the log", e);
      }
    }
  }

  /**
   * Reads all events to the last, in order, without holding appends up.
   *
   * @throws CutLogException when an event cannot be read
   */
  public void replay(Consumer<Recorded> consumer) {
    long last = 0;
    List<Recorded> page;
    do {
      long after = last;
      page = read(connection -> Queries.events(connection, after, PAGE_EVENTS));
      page.forEach(consumer);
      last += page.size();
    } while (page.size() == PAGE_EVENTS);
  }

  /**
   * Tells a subscriber every event appended from now on, after its commit, in order, under the
   * log's lock: it must only fold or enqueue, and not append. What is in the log already is not
   * told.
   */
  public void subscribe(Consumer<Recorded> subscriber) {
    subscribers.add(subscriber);
  }

  /** Replays all events to a subscriber, then goes on telling it, with no event lost between. */
  public void follow(Consumer<Recorded> subscriber) {
    writing.lock();
    try {
      replay(subscriber);
      subscribe(subscriber);
    } finally {
      writing.unlock();
    }
  }

  /** Returns the counts of all jobs that were not withdrawn, in the order they were taken. */
  public List<JobCount> jobCounts() {
    return read(connection -> Queries.jobCounts(connection, null));
  }

  /** Returns the counts of one job, part by part; nothing when it is unknown or withdrawn. */
  public List<JobCount> jobCounts(String job) {
    return read(connection -> Queries.jobCounts(connection, job));
  }

  /** Returns all cuts booked for a job and the pieces that remained, in order. */
  public List<LoggedCut> cuts(String job) {
    return read(connection -> Queries.cuts(connection, job));
  }

  /**
   * Returns the faults that stood at this instant or later, with lost links and with saw cycles
   * that are suspect or unattributed, oldest first.
   */
  public List<LoggedFault> faults(Instant from) {
    return read(connection -> Queries.faults(connection, from));
  }

  /** Returns all offcuts ever made here, oldest first. */
  public List<LoggedOffcut> offcuts() {
    return read(Queries::offcuts);
  }

  /**
   * Looks the whole log over: pages, events, and the tables against tables told afresh in memory.
   * Appends go on meanwhile.
   *
   * @return what is wrong, in words, at most {@value Verification#MAX_PROBLEMS}; empty when nothing
   *     is
   */
  public List<String> verify() {
    Seal.Mark seal = Seal.read(file).mark();
    return read(connection -> Verification.of(connection, Schema.Kind.CURRENT, seal).problems());
  }

  /**
   * Returns why it cannot be noted beside the log how far it was acknowledged, or {@code null} when
   * it can. Nothing is lost by it; but an end that is cut off meanwhile would not be noticed. Never
   * waits for the disk.
   */
  public @Nullable String sealTrouble() {
    return writer.sealTrouble();
  }

  private <T> T read(Query<T> query) {
    reading.lock();
    try {
      return query.run(reader);
    } catch (SQLException e) {
      throw new CutLogException(
          "cannot read the cut log " + file + ": " + e.getMessage(), e, Database.mayRetry(e));
    } finally {
      reading.unlock();
    }
  }

  /** Closes the file; safe to call again. An append that runs is waited for. */
  @Override
  public void close() {
    writing.lock();
    reading.lock();
    try {
      closeAll(List.of(reader, writer));
    } finally {
      reading.unlock();
      writing.unlock();
    }
  }

  private static void closeAll(List<? extends AutoCloseable> opened) {
    for (AutoCloseable each : opened) {
      try {
        each.close();
      } catch (Exception e) {
        // Nothing depends on closing: what was acknowledged is on disk already.
      }
    }
  }

  private interface Query<T> {
    T run(Connection connection) throws SQLException;
  }
}
