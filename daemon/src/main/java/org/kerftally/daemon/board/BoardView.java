package org.kerftally.daemon.board;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.folder.InboxState;
import org.kerftally.daemon.intake.folder.StockState;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.daemon.service.StationView;
import org.kerftally.shared.problem.Problem;

/** Holds everything the page shows as it was at one moment, so that two moments can be compared. */
record BoardView(
    String version,
    @Nullable String notReady,
    List<StationView> stations,
    List<JobTally> jobs,
    InboxState inbox,
    StockState stock,
    OffcutTotals offcuts,
    Map<String, StationIncidents> incidents,
    Map<String, List<String>> notes,
    List<Problem> unwritten) {

  /** Reads the sources once. */
  static BoardView of(BoardSources sources) {
    return new BoardView(
        sources.version(),
        sources.notReady(),
        List.copyOf(sources.stations()),
        List.copyOf(sources.jobs()),
        sources.inbox(),
        sources.stock(),
        sources.offcuts(),
        Map.copyOf(sources.incidents()),
        Map.copyOf(sources.notes()),
        List.copyOf(sources.unwritten()));
  }

  /** Returns what went wrong at a station. */
  StationIncidents incidentsAt(StationView station) {
    return incidents.getOrDefault(station.name(), StationIncidents.NONE);
  }

  /** Returns what stands in for signals that a station's device lacks. */
  List<String> notesOn(StationView station) {
    return notes.getOrDefault(station.name(), List.of());
  }

  /** Returns the job of that id, nothing when it is not kept. */
  Optional<JobTally> job(@Nullable String id) {
    return jobs.stream().filter(job -> job.id().equals(id)).findFirst();
  }

  /** Tells whether the job is the one some station cuts now. */
  boolean isCurrent(JobTally job) {
    return stations.stream().anyMatch(station -> job.id().equals(station.job()));
  }
}
