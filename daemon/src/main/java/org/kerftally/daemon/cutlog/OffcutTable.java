package org.kerftally.daemon.cutlog;

import static org.kerftally.daemon.cutlog.Stored.nm;
import static org.kerftally.daemon.cutlog.Stored.time;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Keeps a row for every offcut made here. It is {@code to-hand} until it is loaded, then {@code
 * used}. Once the office's stock file lists its label it is {@code listed}: the office keeps count
 * of it from there on, so that it is not counted twice.
 */
final class OffcutTable implements Projection {

  static final Table TABLE =
      new Table(
          "offcut",
          List.of(
              """
              CREATE TABLE offcut (
                event INTEGER PRIMARY KEY REFERENCES event (id),
                label TEXT NOT NULL UNIQUE,
                material TEXT NOT NULL,
                length_nm INTEGER NOT NULL,
                job TEXT NOT NULL,
                station TEXT NOT NULL,
                stick INTEGER NOT NULL,
                state TEXT NOT NULL CHECK (state IN ('to-hand', 'listed', 'used')),
                made_at TEXT NOT NULL,
                used_at TEXT
              ) STRICT
              """),
          OffcutTable::new);

  private final Command insert;
  private final Command list;
  private final Command use;

  private OffcutTable(Connection connection) throws SQLException {
    insert =
        new Command(
            connection,
            """
            INSERT INTO offcut (event, label, material, length_nm, job, station, stick, state,
              made_at)
            VALUES (?, ?, ?, ?, ?, ?, ?, 'to-hand', ?)
            """);
    list =
        new Command(
            connection, "UPDATE offcut SET state = 'listed' WHERE label = ? AND state = 'to-hand'");
    use =
        new Command(
            connection,
            "UPDATE offcut SET state = 'used', used_at = ? WHERE label = ? AND state <> 'used'");
  }

  @Override
  public void apply(Recorded recorded) throws SQLException {
    if (recorded.event() instanceof StickDone done && done.offcut() != null) {
      Offcut offcut = done.offcut();
      insert.run(
          recorded.id(),
          offcut.label(),
          offcut.material(),
          nm(offcut.length()),
          offcut.job(),
          recorded.station(),
          done.stick(),
          time(recorded.at()));
    } else if (recorded.event() instanceof StickLoaded loaded) {
      PlannedSticks stick = loaded.planned();
      if (stick.kind() == StickKind.OFFCUT && stick.label() != null) {
        use.run(time(recorded.at()), stick.label());
      }
    } else if (recorded.event() instanceof StockStated stated) {
      for (StockItem item : stated.items()) {
        if (item.label() != null) {
          list.run(item.label());
        }
      }
    }
  }

  @Override
  public void close() throws SQLException {
    insert.close();
    list.close();
    use.close();
  }
}
