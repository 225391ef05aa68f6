package org.kerftally.daemon.cutlog;

import static org.kerftally.daemon.cutlog.Stored.time;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;

/**
 * Keeps a row for every time a fault stood at a station, a lost link among them. One code stands
 * once at a time: raised again while it stands it is the same fault, cleared when none stands it
 * changes nothing.
 */
final class FaultTable implements Projection {

  static final Table TABLE =
      new Table(
          "fault",
          List.of(
              """
              CREATE TABLE fault (
                event INTEGER PRIMARY KEY REFERENCES event (id),
                station TEXT NOT NULL,
                code TEXT NOT NULL,
                text TEXT NOT NULL,
                since TEXT NOT NULL,
                until TEXT
              ) STRICT
              """,
              "CREATE UNIQUE INDEX fault_standing ON fault (station, code) WHERE until IS NULL"),
          FaultTable::new);

  private final Command raise;
  private final Command clear;

  private FaultTable(Connection connection) throws SQLException {
    raise =
        new Command(
            connection,
            """
            INSERT INTO fault (event, station, code, text, since) VALUES (?, ?, ?, ?, ?)
            ON CONFLICT (station, code) WHERE until IS NULL DO NOTHING
            """);
    clear =
        new Command(
            connection,
            "UPDATE fault SET until = ? WHERE station = ? AND code = ? AND until IS NULL");
  }

  @Override
  public void apply(Recorded recorded) throws SQLException {
    String at = time(recorded.at());
    if (recorded.event() instanceof FaultRaised fault) {
      raise.run(recorded.id(), recorded.station(), fault.code(), fault.text(), at);
    } else if (recorded.event() instanceof FaultCleared fault) {
      clear.run(at, recorded.station(), fault.code());
    } else if (recorded.event() instanceof LinkDown down) {
      String text = LoggedFault.linkDownText(down.reason());
      raise.run(recorded.id(), recorded.station(), LoggedFault.LINK_DOWN, text, at);
    } else if (recorded.event() instanceof LinkUp) {
      clear.run(at, recorded.station(), LoggedFault.LINK_DOWN);
    }
  }

  @Override
  public void close() throws SQLException {
    raise.close();
    clear.close();
  }
}
