package org.kerftally.daemon.cutlog;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import org.kerftally.shared.event.Recorded;

/**
 * Keeps one table that is told from the events, in the events' own transaction.
 *
 * <p>A table holds nothing but what the events say, so it can be dropped and told again. An
 * implementation holds prepared statements of one connection and is used under that connection's
 * lock.
 */
interface Projection extends AutoCloseable {

  /**
   * Takes one event into the table; most events are none of its business.
   *
   * @throws IllegalStateException when the event contradicts what is in the table: the mistake of
   *     whoever appended it
   * @throws SQLException when the database says no
   */
  void apply(Recorded recorded) throws SQLException;

  @Override
  void close() throws SQLException;

  /** Opens a projection on a connection whose tables exist. */
  interface Opener {
    Projection open(Connection connection) throws SQLException;
  }

  /**
   * Describes a table and who keeps it.
   *
   * @param table the table's name
   * @param ddl the statements that create it, with its indexes
   * @param opener opens the projection that keeps it
   */
  record Table(String table, List<String> ddl, Opener opener) {

    /** Copies the list. */
    public Table {
      ddl = List.copyOf(ddl);
    }
  }
}
