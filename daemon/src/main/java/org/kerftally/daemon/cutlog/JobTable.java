package org.kerftally.daemon.cutlog;

import static org.kerftally.daemon.cutlog.Stored.time;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.JobUnqueued;
import org.kerftally.shared.job.JobOrder;

/**
 * Keeps a row for every job: where it came from and how far it is. It is {@code taken}, {@code
 * queued}, {@code running}, {@code ended} or {@code withdrawn}.
 */
final class JobTable implements Projection {

  static final Table TABLE =
      new Table(
          "job",
          List.of(
              """
              CREATE TABLE job (
                job TEXT PRIMARY KEY,
                event INTEGER NOT NULL REFERENCES event (id),
                name TEXT NOT NULL,
                file TEXT NOT NULL,
                sha256 TEXT NOT NULL,
                due TEXT,
                unit TEXT NOT NULL,
                priority INTEGER NOT NULL,
                station TEXT,
                state TEXT NOT NULL
                  CHECK (state IN ('taken', 'queued', 'running', 'ended', 'withdrawn')),
                taken_at TEXT NOT NULL,
                started_at TEXT,
                ended_at TEXT
              ) STRICT
              """),
          JobTable::new);

  private final Command insert;
  private final Command queue;
  private final Command start;
  private final Command change;
  private final Command end;
  private final Command reopen;

  private JobTable(Connection connection) throws SQLException {
    insert =
        new Command(
            connection,
            """
            INSERT INTO job (job, event, name, file, sha256, due, unit, priority, station, state,
              taken_at)
            VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
            ON CONFLICT (job) DO NOTHING
            """);
    queue = new Command(connection, "UPDATE job SET state = 'queued', station = ? WHERE job = ?");
    start =
        new Command(
            connection,
            """
            UPDATE job SET state = 'running', started_at = coalesce(started_at, ?) WHERE job = ?
            """);
    change = new Command(connection, "UPDATE job SET state = ? WHERE job = ?");
    reopen =
        new Command(connection, "UPDATE job SET state = 'running', ended_at = NULL WHERE job = ?");
    end = new Command(connection, "UPDATE job SET state = 'ended', ended_at = ? WHERE job = ?");
  }

  @Override
  public void apply(Recorded recorded) throws SQLException {
    Event event = recorded.event();
    String at = time(recorded.at());
    if (event instanceof JobTaken taken) {
      insert(recorded, taken.order(), taken.station(), "taken");
    } else if (event instanceof JobQueued queued) {
      insert(recorded, queued.order(), recorded.station(), "queued");
      queue.run(recorded.station(), queued.order().id());
    } else if (event instanceof JobUnqueued unqueued) {
      change.run("taken", unqueued.job());
    } else if (event instanceof JobStarted started) {
      start.run(at, started.job());
    } else if (event instanceof JobEnded ended) {
      end.run(at, ended.job());
    } else if (event instanceof JobReopened reopened) {
      reopen.run(reopened.job());
    } else if (event instanceof JobWithdrawn withdrawn) {
      change.run("withdrawn", withdrawn.job());
    }
  }

  private void insert(Recorded recorded, JobOrder order, @Nullable String station, String state)
      throws SQLException {
    insert.run(
        order.id(),
        recorded.id(),
        order.name(),
        order.file(),
        order.sha256(),
        order.due() == null ? null : order.due().toString(),
        order.unit().symbol(),
        order.priority(),
        station,
        state,
        time(recorded.at()));
  }

  @Override
  public void close() throws SQLException {
    insert.close();
    queue.close();
    start.close();
    change.close();
    end.close();
    reopen.close();
  }
}
