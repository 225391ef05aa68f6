package org.kerftally.daemon.cutlog;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import org.jspecify.annotations.Nullable;

/**
 * Holds one prepared statement that changes rows, ready to be run again and again.
 *
 * <p>The driver ends a statement that failed for want of space or the like, so it is prepared anew
 * after any failure.
 */
final class Command implements AutoCloseable {

  private final Connection connection;
  private final String sql;
  private @Nullable PreparedStatement statement;

  Command(Connection connection, String sql) throws SQLException {
    this.connection = connection;
    this.sql = sql;
    this.statement = connection.prepareStatement(sql);
  }

  /** Runs it with these values for its question marks and returns how many rows it changed. */
  int run(@Nullable Object... values) throws SQLException {
    PreparedStatement ready = statement;
    if (ready == null) {
      ready = connection.prepareStatement(sql);
      statement = ready;
    }
    try {
      for (int i = 0; i < values.length; i++) {
        ready.setObject(i + 1, values[i]);
      }
      return ready.executeUpdate();
    } catch (SQLException e) {
      try {
        close();
      } catch (SQLException second) {
        e.addSuppressed(second);
      }
      throw e;
    }
  }

  @Override
  public void close() throws SQLException {
    PreparedStatement old = statement;
    statement = null;
    if (old != null) {
      old.close();
    }
  }
}
