package org.kerftally.daemon.cutlog;

import java.nio.file.Path;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Recorded;

/**
 * Looks a cut log over and changes nothing, also beside a service that writes to it: what is told
 * is the log as it stood at one moment.
 */
public final class LogCheck {

  private LogCheck() {}

  /** Looks over the log in a file. */
  public static LogReport of(Path db) {
    try {
      return report(LogInspection.of(db, Database.Bounds.DEFAULT));
    } catch (CutLogException e) {
      return unread(db, String.valueOf(e.getMessage()));
    } catch (SQLException e) {
      return unread(db, db + " cannot be read: " + e.getMessage());
    }
  }

  private static LogReport unread(Path db, String problem) {
    return new LogReport(db, 0, null, null, List.of(), List.of(problem), false, List.of());
  }

  private static LogReport report(LogInspection inspection) {
    Path db = inspection.file();
    List<String> remarks = new ArrayList<>();
    if (inspection.sealTrouble() != null) {
      remarks.add(inspection.sealTrouble() + ", so a missing end would not be noticed");
    } else if (Seal.read(db).mark() == null) {
      remarks.add(Seal.beside(db) + " is not there, so a missing end would not be noticed");
    }
    Verification.Findings found = inspection.findings();
    if (found == null) {
      return unread(db, "there is no cut log at " + db);
    }
    if (inspection.kind() == Schema.Kind.WITHOUT_CHAIN) {
      remarks.add(
          "its events carry no digests yet, so a changed one might not be noticed; they do from the"
              + " next start of the service on");
    }
    return new LogReport(
        db,
        found.last().id(),
        at(found.first()),
        at(found.latest()),
        found.stations(),
        found.problems(),
        found.eventsAreSound(),
        remarks);
  }

  private static java.time.@Nullable Instant at(@Nullable Recorded recorded) {
    return recorded == null ? null : recorded.at();
  }
}
