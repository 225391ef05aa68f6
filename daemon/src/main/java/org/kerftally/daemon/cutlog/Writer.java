package org.kerftally.daemon.cutlog;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent;

/**
 * Writes to the cut log through its one writing connection. Used under the log's lock.
 *
 * <p>After an error of the disk a commit may or may not be found in the file, and a later sync that
 * succeeds says nothing about the pages of the one that failed. So it is not tried again: the
 * writer is spent, and opening the log again shows what is really there.
 */
final class Writer implements AutoCloseable {

  private final Path file;
  private final Connection connection;
  private final Command insert;
  private final Command begin;
  private final Command commit;
  private final Command rollback;
  private final Projections projections;
  private final Seal seal;
  private Seal.Mark last;
  private @Nullable String spent;

  /**
   * Makes a connection the one that writes.
   *
   * @param last the last event that is there
   * @param seal is told of every commit; closed with the writer
   */
  Writer(Path file, Connection connection, Seal.Mark last, Seal seal) throws SQLException {
    this.file = file;
    this.connection = connection;
    insert = new Command(connection, Queries.INSERT_EVENT);
    begin = new Command(connection, "BEGIN IMMEDIATE");
    commit = new Command(connection, "COMMIT");
    rollback = new Command(connection, "ROLLBACK");
    projections = Projections.open(connection);
    this.last = last;
    this.seal = seal;
  }

  /** Appends events in one transaction. */
  List<Recorded> append(Instant at, @Nullable String station, List<? extends Event> events) {
    List<EventCodec.Coded> coded = events.stream().map(EventCodec::encode).toList();
    String time = Stored.time(at);
    List<Recorded> recorded = new ArrayList<>(events.size());
    for (int i = 0; i < coded.size(); i++) {
      long id = last.id() + 1 + i;
      Event event = EventCodec.decode(id, coded.get(i).kind(), coded.get(i).body());
      recorded.add(new Recorded(id, at, stationOf(event, station), event));
    }
    List<String> digests = new ArrayList<>(events.size());
    String digest = last.digest();
    for (int i = 0; i < coded.size(); i++) {
      Recorded each = recorded.get(i);
      EventCodec.Coded text = coded.get(i);
      digest = Chain.next(digest, each.id(), time, each.station(), text.kind(), text.body());
      digests.add(digest);
    }
    inTransaction(
        () -> {
          for (int i = 0; i < coded.size(); i++) {
            Recorded each = recorded.get(i);
            EventCodec.Coded text = coded.get(i);
            insert.run(each.id(), time, each.station(), text.kind(), text.body(), digests.get(i));
            projections.apply(each);
          }
        });
    last = new Seal.Mark(last.id() + recorded.size(), digest);
    seal.write(last);
    return List.copyOf(recorded);
  }

  /** Returns why the seal is behind the log, or {@code null} when it is not. */
  @Nullable String sealTrouble() {
    return seal.trouble();
  }

  private static @Nullable String stationOf(Event event, @Nullable String station) {
    if (!(event instanceof StationEvent)) {
      return null;
    }
    if (station == null) {
      throw new IllegalStateException("no station was given for " + event);
    }
    return station;
  }

  private interface Work {
    void run() throws SQLException;
  }

  private void inTransaction(Work work) {
    if (spent != null) {
      throw new CutLogException(
          "the cut log " + file + " must be opened again, since an earlier write failed: " + spent);
    }
    boolean done = false;
    try {
      begin.run();
      work.run();
      commit.run();
      done = true;
    } catch (SQLException e) {
      throw refusal(e);
    } finally {
      if (!done) {
        rollBack();
      }
    }
  }

  private RuntimeException refusal(SQLException e) {
    if (Database.isRuleBroken(e)) {
      return new IllegalStateException(
          "the cut log refuses an event that contradicts it: " + e.getMessage(), e);
    }
    boolean mayRetry = Database.mayRetry(e);
    if (!mayRetry) {
      spent = String.valueOf(e.getMessage());
    }
    return new CutLogException(
        "cannot write to the cut log " + file + ": " + e.getMessage(), e, mayRetry);
  }

  private void rollBack() {
    try {
      rollback.run();
    } catch (SQLException e) {
      // SQLite rolls some errors back by itself and then has no transaction to end; any other
      // reason leaves the connection in a state nobody knows.
      if (!String.valueOf(e.getMessage()).contains("no transaction is active")) {
        spent = String.valueOf(e.getMessage());
      }
    }
  }

  @Override
  public void close() throws SQLException {
    // With the last connection the write-ahead log is moved into the file, which is then whole.
    connection.close();
    if (spent == null) {
      seal.finish(file, last);
    }
    seal.close();
  }
}
