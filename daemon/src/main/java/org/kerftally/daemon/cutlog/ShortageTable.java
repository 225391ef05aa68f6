package org.kerftally.daemon.cutlog;

import static org.kerftally.daemon.cutlog.Stored.nm;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.plan.Shortage;

/**
 * Keeps what cannot be made of a job: as its newest plan says while it is cut, as its end says
 * afterwards.
 */
final class ShortageTable implements Projection {

  static final Table TABLE =
      new Table(
          "shortage",
          List.of(
              """
              CREATE TABLE shortage (
                job TEXT NOT NULL,
                line INTEGER NOT NULL,
                part TEXT NOT NULL,
                material TEXT NOT NULL,
                length_nm INTEGER NOT NULL,
                missing INTEGER NOT NULL,
                PRIMARY KEY (job, line)
              ) STRICT
              """),
          ShortageTable::new);

  private final Command clear;
  private final Command insert;

  private ShortageTable(Connection connection) throws SQLException {
    clear = new Command(connection, "DELETE FROM shortage WHERE job = ?");
    insert =
        new Command(
            connection,
            """
            INSERT INTO shortage (job, line, part, material, length_nm, missing)
            VALUES (?, ?, ?, ?, ?, ?)
            """);
  }

  @Override
  public void apply(Recorded recorded) throws SQLException {
    Event event = recorded.event();
    if (event instanceof JobTaken taken) {
      replace(taken.order().id(), taken.plan().shortages());
    } else if (event instanceof JobQueued queued) {
      replace(queued.order().id(), queued.plan().shortages());
    } else if (event instanceof Replanned replanned) {
      replace(replanned.job(), replanned.plan().shortages());
    } else if (event instanceof JobEnded ended) {
      replace(ended.job(), ended.shortages());
    }
  }

  private void replace(String job, List<Shortage> shortages) throws SQLException {
    clear.run(job);
    int line = 1;
    for (Shortage shortage : shortages) {
      insert.run(
          job,
          line++,
          shortage.part(),
          shortage.material(),
          nm(shortage.length()),
          shortage.missing());
    }
  }

  @Override
  public void close() throws SQLException {
    clear.close();
    insert.close();
  }
}
