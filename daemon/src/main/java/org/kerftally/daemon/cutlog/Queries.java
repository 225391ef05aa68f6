package org.kerftally.daemon.cutlog;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.Offcut;

/** Reads from a connection, which the caller has locked. */
final class Queries {

  private Queries() {}

  /** Turns the current row into a value. */
  private interface RowReader<T> {
    T read(ResultSet row) throws SQLException;
  }

  /** Returns the events after one id in order, at most {@code limit}. */
  static List<Recorded> events(Connection connection, long after, int limit) throws SQLException {
    return list(
        connection,
        "SELECT id, at, station, kind, body FROM event WHERE id > ? ORDER BY id LIMIT ?",
        row -> {
          long id = row.getLong(1);
          return new Recorded(
              id,
              Instant.parse(row.getString(2)),
              row.getString(3),
              EventCodec.decode(id, row.getString(4), row.getString(5)));
        },
        after,
        limit);
  }

  /** Returns the id of the last event, 0 when there is none. */
  static long lastId(Connection connection) throws SQLException {
    return list(connection, "SELECT coalesce(max(id), 0) FROM event", row -> row.getLong(1)).get(0);
  }

  static List<JobCount> jobCounts(Connection connection, @Nullable String job) throws SQLException {
    String sql = "SELECT job, part, wanted, made, rejected, short FROM job_counts";
    RowReader<JobCount> reader =
        row ->
            new JobCount(
                row.getString(1),
                row.getString(2),
                row.getLong(3),
                row.getLong(4),
                row.getLong(5),
                row.getLong(6));
    return job == null
        ? list(connection, sql, reader)
        : list(connection, sql + " WHERE job = ?", reader, job);
  }

  static List<LoggedCut> cuts(Connection connection, String job) throws SQLException {
    return list(
        connection,
        """
        SELECT coalesce(cut_at, booked_at), station, boot, count, seq, job, part, stick,
          wanted_nm, actual_nm, kind, booked_at
        FROM cut WHERE job = ? ORDER BY event
        """,
        row ->
            new LoggedCut(
                Instant.parse(row.getString(1)),
                row.getString(2),
                row.getString(3),
                number(row, 4),
                number(row, 5),
                row.getString(6),
                row.getString(7),
                number(row, 8) == null ? null : row.getInt(8),
                Stored.length(row.getObject(9)),
                Stored.length(row.getObject(10)),
                constant(CutKind.values(), row.getString(11)),
                Instant.parse(row.getString(12))),
        job);
  }

  static List<LoggedFault> faults(Connection connection, Instant from) throws SQLException {
    return list(
        connection,
        """
        SELECT station, code, text, since, until
        FROM fault WHERE until IS NULL OR until >= ? ORDER BY event
        """,
        row ->
            new LoggedFault(
                row.getString(1),
                row.getString(2),
                row.getString(3),
                Instant.parse(row.getString(4)),
                row.getString(5) == null ? null : Instant.parse(row.getString(5))),
        Stored.time(from));
  }

  static List<LoggedOffcut> offcuts(Connection connection) throws SQLException {
    return list(
        connection,
        "SELECT label, material, length_nm, job, state FROM offcut ORDER BY event",
        row ->
            new LoggedOffcut(
                new Offcut(
                    row.getString(1),
                    row.getString(2),
                    Length.ofNm(row.getLong(3)),
                    row.getString(4)),
                constant(LoggedOffcut.State.values(), row.getString(5))));
  }

  private static @Nullable Long number(ResultSet row, int column) throws SQLException {
    long number = row.getLong(column);
    return row.wasNull() ? null : number;
  }

  private static <E extends Enum<E>> E constant(E[] constants, String word) throws SQLException {
    for (E constant : constants) {
      if (WordFormat.word(constant).equals(word)) {
        return constant;
      }
    }
    throw new SQLException("no such word is known: " + word);
  }

  private static <T> List<T> list(
      Connection connection, String sql, RowReader<T> reader, Object... values)
      throws SQLException {
    try (PreparedStatement statement = connection.prepareStatement(sql)) {
      for (int i = 0; i < values.length; i++) {
        statement.setObject(i + 1, values[i]);
      }
      List<T> rows = new ArrayList<>();
      try (ResultSet found = statement.executeQuery()) {
        while (found.next()) {
          rows.add(reader.read(found));
        }
      }
      return rows;
    }
  }
}
