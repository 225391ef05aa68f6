package org.kerftally.daemon.cutlog;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import org.jspecify.annotations.Nullable;

/** Holds one prepared statement that changes rows, ready to be run again and again. */
final class Command implements AutoCloseable {

  private final PreparedStatement statement;

  Command(Connection connection, String sql) throws SQLException {
    statement = connection.prepareStatement(sql);
  }

  /** Runs it with these values for its question marks and returns how many rows it changed. */
  int run(@Nullable Object... values) throws SQLException {
    for (int i = 0; i < values.length; i++) {
      statement.setObject(i + 1, values[i]);
    }
    return statement.executeUpdate();
  }

  @Override
  public void close() throws SQLException {
    statement.close();
  }
}
