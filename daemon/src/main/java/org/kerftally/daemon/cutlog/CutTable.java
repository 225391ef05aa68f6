package org.kerftally.daemon.cutlog;

import static org.kerftally.daemon.cutlog.Stored.nm;
import static org.kerftally.daemon.cutlog.Stored.orNull;
import static org.kerftally.daemon.cutlog.Stored.time;
import static org.kerftally.daemon.cutlog.Stored.timeOrNull;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;

/**
 * Keeps a row for every saw cycle and for every piece that was left over without one.
 *
 * <p>The key (station, boot, count) is unique: the same cycle cannot be booked twice, whoever
 * tries. A piece that remained has no boot, count or seq. A rejected part stays the row it was,
 * with the kind {@code rejected}.
 */
final class CutTable implements Projection {

  static final Table TABLE =
      new Table(
          "cut",
          List.of(
              """
              CREATE TABLE cut (
                event INTEGER PRIMARY KEY REFERENCES event (id),
                station TEXT NOT NULL,
                boot TEXT,
                count INTEGER,
                seq INTEGER,
                job TEXT,
                part TEXT,
                stick INTEGER,
                wanted_nm INTEGER,
                actual_nm INTEGER,
                position_nm INTEGER,
                kind TEXT NOT NULL
                  CHECK (kind IN ('part', 'trim', 'suspect', 'unattributed', 'rejected')),
                cut_at TEXT,
                booked_at TEXT NOT NULL,
                rejected_at TEXT,
                remark TEXT,
                left_nm INTEGER,
                UNIQUE (station, boot, count),
                CHECK ((boot IS NULL) = (count IS NULL))
              ) STRICT
              """,
              "CREATE INDEX cut_by_part ON cut (job, part, kind)"),
          CutTable::new);

  private final Command insert;
  private final Command rejectCut;
  private final Command rejectRemained;

  private CutTable(Connection connection) throws SQLException {
    insert =
        new Command(
            connection,
            """
            INSERT INTO cut (event, station, boot, count, seq, job, part, stick, wanted_nm,
              actual_nm, position_nm, kind, cut_at, booked_at, remark, left_nm)
            VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
            """);
    rejectCut =
        new Command(
            connection,
            """
            UPDATE cut SET kind = 'rejected', rejected_at = ?
            WHERE station = ? AND boot = ? AND count = ? AND job = ? AND part = ? AND kind = 'part'
            """);
    rejectRemained =
        new Command(
            connection,
            """
            UPDATE cut SET kind = 'rejected', rejected_at = ?
            WHERE event = (
              SELECT max(event) FROM cut
              WHERE station = ? AND boot IS NULL AND job = ? AND part = ? AND kind = 'part')
            """);
  }

  @Override
  public void apply(Recorded recorded) throws SQLException {
    if (recorded.event() instanceof CutBooked cut) {
      book(recorded, cut);
    } else if (recorded.event() instanceof PieceRemained piece) {
      keep(recorded, piece);
    } else if (recorded.event() instanceof PieceRejected rejected) {
      reject(recorded, rejected);
    }
  }

  private void book(Recorded recorded, CutBooked cut) throws SQLException {
    insert.run(
        recorded.id(),
        recorded.station(),
        cut.boot(),
        cut.count(),
        cut.seq(),
        cut.job(),
        cut.part(),
        orNull(cut.stick()),
        nm(cut.wanted()),
        nm(cut.actual()),
        nm(cut.position()),
        cut.kind().word(),
        timeOrNull(cut.cutAt()),
        time(recorded.at()),
        cut.remark(),
        nm(cut.left()));
  }

  private void keep(Recorded recorded, PieceRemained piece) throws SQLException {
    insert.run(
        recorded.id(),
        recorded.station(),
        null,
        null,
        null,
        piece.job(),
        piece.part(),
        orNull(piece.stick()),
        nm(piece.length()),
        nm(piece.length()),
        null,
        CutKind.PART.word(),
        null,
        time(recorded.at()),
        null,
        null);
  }

  private void reject(Recorded recorded, PieceRejected rejected) throws SQLException {
    String at = time(recorded.at());
    int changed =
        rejected.boot() == null
            ? rejectRemained.run(at, recorded.station(), rejected.job(), rejected.part())
            : rejectCut.run(
                at,
                recorded.station(),
                rejected.boot(),
                rejected.count(),
                rejected.job(),
                rejected.part());
    if (changed != 1) {
      throw new IllegalStateException(
          "no part that was made and still counts belongs to " + rejected);
    }
  }

  @Override
  public void close() throws SQLException {
    insert.close();
    rejectCut.close();
    rejectRemained.close();
  }
}
