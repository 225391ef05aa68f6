package org.kerftally.daemon.cutlog;

import static org.kerftally.daemon.cutlog.Stored.nm;
import static org.kerftally.daemon.cutlog.Stored.orNull;
import static org.kerftally.daemon.cutlog.Stored.time;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.MoveDone;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.TargetAccepted;
import org.kerftally.shared.event.StationEvent.TargetRefused;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationEvent.TargetVoided;

/**
 * Keeps a row for every target: when it was decided on, what the device answered, and when it was
 * given up. A squaring cut has no part; a move to where nothing is cut says so by its purpose, and
 * has no job where none was being cut.
 */
final class TargetTable implements Projection {

  private static final String CUT = "cut";

  static final Table TABLE =
      new Table(
          "target",
          List.of(
              """
              CREATE TABLE target (
                event INTEGER PRIMARY KEY REFERENCES event (id),
                station TEXT NOT NULL,
                seq INTEGER NOT NULL,
                purpose TEXT NOT NULL CHECK (purpose IN ('cut', 'retract', 'park')),
                job TEXT,
                part TEXT,
                stick INTEGER,
                wanted_nm INTEGER NOT NULL,
                position_nm INTEGER NOT NULL,
                sent_at TEXT NOT NULL,
                valid_until TEXT NOT NULL,
                answered_at TEXT,
                answer TEXT CHECK (answer IN ('accepted', 'refused')),
                voided_at TEXT,
                done_at TEXT,
                reason TEXT,
                UNIQUE (station, seq)
              ) STRICT
              """),
          TargetTable::new);

  private final Command insert;
  private final Command answer;
  private final Command giveUp;
  private final Command done;

  private TargetTable(Connection connection) throws SQLException {
    insert =
        new Command(
            connection,
            """
            INSERT INTO target (event, station, seq, purpose, job, part, stick, wanted_nm, position_nm,
              sent_at, valid_until)
            VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
            """);
    answer =
        new Command(
            connection,
            """
            UPDATE target SET answered_at = coalesce(answered_at, ?), answer = coalesce(answer, ?),
              reason = coalesce(reason, ?)
            WHERE station = ? AND seq = ?
            """);
    giveUp =
        new Command(
            connection,
            """
            UPDATE target SET voided_at = coalesce(voided_at, ?), reason = coalesce(reason, ?)
            WHERE station = ? AND seq = ?
            """);
    done = new Command(connection, "UPDATE target SET done_at = ? WHERE station = ? AND seq = ?");
  }

  @Override
  public void apply(Recorded recorded) throws SQLException {
    String at = time(recorded.at());
    if (recorded.event() instanceof TargetSet target) {
      insert.run(
          recorded.id(),
          recorded.station(),
          target.seq(),
          CUT,
          target.job(),
          target.part(),
          orNull(target.stick()),
          nm(target.wanted()),
          nm(target.position()),
          at,
          time(target.validUntil()));
    } else if (recorded.event() instanceof MoveSet move) {
      insert.run(
          recorded.id(),
          recorded.station(),
          move.seq(),
          move.move().word(),
          move.job(),
          null,
          null,
          nm(move.stand()),
          nm(move.position()),
          at,
          time(move.validUntil()));
    } else if (recorded.event() instanceof MoveDone move) {
      one(done.run(at, recorded.station(), move.seq()), recorded);
    } else if (recorded.event() instanceof TargetAccepted accepted) {
      one(answer.run(at, "accepted", null, recorded.station(), accepted.seq()), recorded);
    } else if (recorded.event() instanceof TargetRefused refused) {
      one(answer.run(at, "refused", refused.reason(), recorded.station(), refused.seq()), recorded);
    } else if (recorded.event() instanceof TargetVoided voided) {
      one(giveUp.run(at, voided.reason(), recorded.station(), voided.seq()), recorded);
    }
  }

  private static void one(int changed, Recorded recorded) {
    if (changed != 1) {
      throw new IllegalStateException(
          "no target was set before " + recorded.event() + " at " + recorded.station());
    }
  }

  @Override
  public void close() throws SQLException {
    insert.close();
    answer.close();
    giveUp.close();
    done.close();
  }
}
