package org.kerftally.daemon.station;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.cutlog.JobCount;
import org.kerftally.daemon.cutlog.LoggedFault;
import org.kerftally.daemon.cutlog.LoggedOffcut;
import org.kerftally.daemon.stock.StockLedger;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.PieceRejected;

/** Puts what a station says under seeded faults into a real cut log, which refuses nonsense. */
final class StationLogTest {

  private static final int SEEDS = 40;
  private static final int EVENTS_AN_APPEND = 7;

  @TempDir Path folder;

  @Test
  void theCutLogTakesEverythingAStationSaysAndCountsTheSame() {
    for (long seed = 1; seed <= SEEDS; seed++) {
      StationRig rig = StationChaosTest.run(seed);
      StockLedger[] stock = {StockLedger.EMPTY};
      try (CutLog log = CutLog.open(folder.resolve(seed + ".db"), Clock.systemUTC())) {
        log.subscribe(recorded -> stock[0] = stock[0].apply(recorded));
        List<StationEvent> said = rig.log;
        for (int i = 0; i < said.size(); i += EVENTS_AN_APPEND) {
          log.append("saw1", said.subList(i, Math.min(said.size(), i + EVENTS_AN_APPEND)));
        }
        String where = "seed " + seed;
        List<JobCount> counts = log.jobCounts("hive");
        assertThat(counts).as(where).hasSize(3).allMatch(c -> c.made() == c.wanted());
        assertThat(counts.stream().mapToLong(JobCount::rejected).sum())
            .as(where)
            .isEqualTo(rig.all(PieceRejected.class).size());
        assertThat(log.offcuts()).as(where).hasSize((int) rig.state.offcuts());
        assertThat(log.offcuts().stream().map(LoggedOffcut::offcut))
            .as(where)
            .containsExactlyElementsOf(stock[0].offcuts());
        // Times are whole milliseconds: what ended within the present one would be told as well.
        Instant later = Instant.now().plusSeconds(1);
        assertThat(log.faults(later).stream().map(LoggedFault::code))
            .as(where)
            .containsExactlyInAnyOrderElementsOf(rig.state.faults().keySet());
        assertThat(stock[0].reserved("hive")).as(where).isEmpty();
        assertThat(log.verify()).as(where).isEmpty();
      }
    }
  }
}
