package org.kerftally.daemon.cutlog;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.codec.WordFormat;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.Offcut;

/** Reads from a connection, which the caller has locked. */
final class Queries {

  static final String INSERT_EVENT =
      "INSERT INTO event (id, at, station, kind, body, digest) VALUES (?, ?, ?, ?, ?, ?)";

  private Queries() {}

  /** Turns the current row into a value. */
  private interface RowReader<T> {
    T read(ResultSet row) throws SQLException;
  }

  /**
   * Holds a row of the events as it is stored.
   *
   * @param digest the digest it carries, or {@code null} for none
   */
  record EventRow(
      long id,
      String at,
      @Nullable String station,
      String kind,
      String body,
      @Nullable String digest) {

    /**
     * Reads the event.
     *
     * @throws CutLogException when it cannot be read
     */
    Recorded decode() {
      Instant time;
      try {
        time = Instant.parse(at);
      } catch (DateTimeParseException e) {
        throw new CutLogException(
            "event " + id + " of the cut log cannot be read: its time is \"" + at + "\"", e);
      }
      return new Recorded(id, time, station, EventCodec.decode(id, kind, body));
    }

    /** Returns the digest it must carry after that of the event before it. */
    String digestAfter(String before) {
      return Chain.next(before, id, at, station, kind, body);
    }
  }

  private static EventRow eventRow(ResultSet row, boolean chained) throws SQLException {
    return new EventRow(
        row.getLong(1),
        String.valueOf(row.getString(2)),
        row.getString(3),
        String.valueOf(row.getString(4)),
        String.valueOf(row.getString(5)),
        chained ? row.getString(6) : null);
  }

  /** Takes rows one by one and tells whether to go on. */
  interface EventReader {
    boolean take(EventRow row) throws SQLException;
  }

  /** Reads all events in order, in one go, until the reader has enough. */
  static void eachEvent(Connection connection, boolean chained, EventReader reader)
      throws SQLException {
    String sql = "SELECT id, at, station, kind, body" + (chained ? ", digest" : "") + " FROM event";
    try (PreparedStatement statement = connection.prepareStatement(sql + " ORDER BY id");
        ResultSet found = statement.executeQuery()) {
      boolean more = true;
      while (more && found.next()) {
        more = reader.take(eventRow(found, chained));
      }
    }
  }

  /** Returns the events after one id in order, at most {@code limit}. */
  static List<Recorded> events(Connection connection, long after, int limit) throws SQLException {
    return list(
        connection,
        "SELECT id, at, station, kind, body FROM event WHERE id > ? ORDER BY id LIMIT ?",
        row -> eventRow(row, false).decode(),
        after,
        limit);
  }

  /** Returns where the digests of a log begin; nothing but one row is sound. */
  static List<Seal.Mark> chainStarts(Connection connection) throws SQLException {
    return list(
        connection,
        "SELECT begins_after, digest FROM chain",
        row -> new Seal.Mark(row.getLong(1), String.valueOf(row.getString(2))));
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
        FROM fault_log WHERE until IS NULL OR until >= ?
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
