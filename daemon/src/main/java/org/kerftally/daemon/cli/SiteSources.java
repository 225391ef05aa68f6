package org.kerftally.daemon.cli;

import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.board.BoardSources;
import org.kerftally.daemon.board.OffcutTotals;
import org.kerftally.daemon.board.ShopCounts;
import org.kerftally.daemon.board.StationCounts;
import org.kerftally.daemon.board.StationIncidents;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.intake.folder.InboxState;
import org.kerftally.daemon.intake.folder.Intake;
import org.kerftally.daemon.intake.folder.StockState;
import org.kerftally.daemon.results.JobTallies;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.daemon.results.ResultsWriter;
import org.kerftally.daemon.service.StationOwner;
import org.kerftally.daemon.service.StationView;
import org.kerftally.daemon.service.StockDesk;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.problem.Problem;

/** Shows a running site to the board; follows the cut log for jobs and counts. */
final class SiteSources implements BoardSources {

  private final Clock clock;
  private final List<StationOwner> owners;
  private final Intake intake;
  private final StockDesk stock;
  private final ResultsWriter results;
  private final CutLog log;
  private final Map<String, List<String>> notes;
  private final JobTallies tallies = new JobTallies();
  private final ShopCounts counts = new ShopCounts();

  SiteSources(
      Clock clock,
      List<StationOwner> owners,
      Intake intake,
      StockDesk stock,
      ResultsWriter results,
      CutLog log,
      Map<String, List<String>> notes) {
    this.clock = clock;
    this.owners = List.copyOf(owners);
    this.intake = intake;
    this.stock = stock;
    this.results = results;
    this.log = log;
    this.notes = Map.copyOf(notes);
  }

  synchronized void follow(Recorded recorded) {
    tallies.apply(recorded);
    counts.apply(recorded);
  }

  @Override
  public Instant now() {
    return clock.instant();
  }

  @Override
  public String version() {
    return Version.text();
  }

  @Override
  public @Nullable String notReady() {
    for (StationOwner owner : owners) {
      String trouble = owner.view().trouble();
      if (trouble != null) {
        return owner.name() + ": " + trouble;
      }
    }
    return intake.inboxState().trouble();
  }

  @Override
  public List<StationView> stations() {
    return owners.stream().map(StationOwner::view).toList();
  }

  @Override
  public synchronized List<JobTally> jobs() {
    return tallies.all();
  }

  @Override
  public InboxState inbox() {
    return intake.inboxState();
  }

  @Override
  public StockState stock() {
    return intake.stockState();
  }

  @Override
  public OffcutTotals offcuts() {
    return OffcutTotals.of(stock.ledger().offcuts());
  }

  @Override
  public Map<String, StationCounts> counts() {
    return counts.byStation();
  }

  @Override
  public Map<String, StationIncidents> incidents() {
    return counts.incidents();
  }

  @Override
  public Map<String, List<String>> notes() {
    return notes;
  }

  @Override
  public List<Problem> unwritten() {
    List<Problem> unwritten = new ArrayList<>(results.problems());
    String seal = log.sealTrouble();
    if (seal != null) {
      unwritten.add(
          new Problem(
              Site.LOG_FILE,
              0,
              null,
              seal,
              "Nothing is lost, but see to the disk: an end of the cut log that is lost meanwhile"
                  + " would not be noticed."));
    }
    return unwritten;
  }
}
