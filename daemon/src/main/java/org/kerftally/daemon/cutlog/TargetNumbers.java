package org.kerftally.daemon.cutlog;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;

/** Tells which numbers a cut log has given to targets. Changes nothing. */
public final class TargetNumbers {

  private TargetNumbers() {}

  /**
   * Returns the highest number a station's targets had, 0 when there is no log or no target.
   *
   * @param db the log, which no service writes to now
   * @throws CutLogException when the log is there and cannot be read
   */
  public static long highest(Path db, String station) {
    try {
      LogInspection found = LogInspection.beforeOpening(db, Database.Bounds.DEFAULT);
      found.soundOrThrow();
      if (found.kind() == Schema.Kind.EMPTY) {
        return 0;
      }
      try (Connection connection = Database.connectUntouching(db, Database.Bounds.DEFAULT);
          PreparedStatement statement =
              connection.prepareStatement("SELECT max(seq) FROM target WHERE station = ?")) {
        statement.setString(1, station);
        try (ResultSet row = statement.executeQuery()) {
          return row.next() ? row.getLong(1) : 0;
        }
      }
    } catch (SQLException e) {
      throw new CutLogException(db + " cannot be read: " + e.getMessage(), e);
    }
  }
}
