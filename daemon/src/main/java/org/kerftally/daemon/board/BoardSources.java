package org.kerftally.daemon.board;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.folder.InboxState;
import org.kerftally.daemon.intake.folder.StockState;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.daemon.service.StationView;
import org.kerftally.shared.problem.Problem;

/**
 * Gives the board what it shows.
 *
 * <p>Called from the board's own threads, several at once and some five times a second: every
 * method is safe for that, answers at once from what is in memory, and gives values that do not
 * change afterwards. Equal values mean that nothing is to be told.
 */
public interface BoardSources {

  /** Returns the time now, UTC. */
  Instant now();

  /** Returns the version of the service, for people. */
  String version();

  /**
   * Returns why the service cannot do its work now (the log is still being replayed, a link was not
   * opened yet, the log cannot be written), or {@code null} when it can.
   */
  @Nullable String notReady();

  /** Returns the stations in the order of the config. */
  List<StationView> stations();

  /** Returns the tallies kept, in the order the jobs were taken. */
  List<JobTally> jobs();

  /** Returns how the inbox stands. */
  InboxState inbox();

  /** Returns how the office's stock file stands. */
  StockState stock();

  /** Returns the offcuts made here and still to hand. */
  OffcutTotals offcuts();

  /** Returns what went wrong at the stations, by the station's name. */
  Map<String, StationIncidents> incidents();

  /** Returns what stands in for signals the devices lack, in words, by the station's name. */
  Map<String, List<String>> notes();

  /** Returns what of the results cannot be written now; empty when all is. */
  List<Problem> unwritten();

  /** Returns what was counted since the log began, by the station's name. */
  Map<String, StationCounts> counts();
}
