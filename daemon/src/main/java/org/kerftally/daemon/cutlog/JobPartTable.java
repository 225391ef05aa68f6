package org.kerftally.daemon.cutlog;

import static org.kerftally.daemon.cutlog.Stored.nm;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;

/** Keeps a row for every line of every job order: what is wanted, in the order's own order. */
final class JobPartTable implements Projection {

  static final Table TABLE =
      new Table(
          "job_part",
          List.of(
              """
              CREATE TABLE job_part (
                job TEXT NOT NULL REFERENCES job (job),
                line INTEGER NOT NULL,
                part TEXT NOT NULL,
                material TEXT NOT NULL,
                length_nm INTEGER NOT NULL,
                wanted INTEGER NOT NULL,
                priority INTEGER NOT NULL,
                note TEXT,
                PRIMARY KEY (job, line)
              ) STRICT
              """),
          JobPartTable::new);

  private final Command insert;

  private JobPartTable(Connection connection) throws SQLException {
    insert =
        new Command(
            connection,
            """
            INSERT INTO job_part (job, line, part, material, length_nm, wanted, priority, note)
            VALUES (?, ?, ?, ?, ?, ?, ?, ?)
            ON CONFLICT (job, line) DO NOTHING
            """);
  }

  @Override
  public void apply(Recorded recorded) throws SQLException {
    if (recorded.event() instanceof JobTaken taken) {
      insert(taken.order());
    } else if (recorded.event() instanceof JobQueued queued) {
      insert(queued.order());
    }
  }

  private void insert(JobOrder order) throws SQLException {
    int line = 1;
    for (Part part : order.parts()) {
      insert.run(
          order.id(),
          line++,
          part.name(),
          part.material(),
          nm(part.length()),
          part.quantity(),
          part.priority(),
          part.note());
    }
  }

  @Override
  public void close() throws SQLException {
    insert.close();
  }
}
