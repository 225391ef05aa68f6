package org.kerftally.daemon.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.board.Board;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.cutlog.SiteHeldException;
import org.kerftally.daemon.cutlog.SiteLock;
import org.kerftally.daemon.intake.folder.Clocks;
import org.kerftally.daemon.intake.folder.DiskFolderOps;
import org.kerftally.daemon.intake.folder.FolderOps;
import org.kerftally.daemon.intake.folder.InboxWatcher;
import org.kerftally.daemon.intake.folder.Intake;
import org.kerftally.daemon.intake.folder.StockWatcher;
import org.kerftally.daemon.results.ResultsOwner;
import org.kerftally.daemon.results.ResultsSite;
import org.kerftally.daemon.results.ResultsWriter;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.daemon.service.JobDesk;
import org.kerftally.daemon.service.JobIndex;
import org.kerftally.daemon.service.OfficeDesk;
import org.kerftally.daemon.service.PlanDesk;
import org.kerftally.daemon.service.StationOwner;
import org.kerftally.daemon.service.StationSetup;
import org.kerftally.daemon.service.StockDesk;
import org.kerftally.daemon.station.StationFold;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationState;
import org.kerftally.daemon.trace.StationTrace;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.Links;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent;
import org.kerftally.shared.event.StationEvent;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Runs one site: its folder, its cut log, its stations, its board.
 *
 * <p>Start-up is a replay: every state is folded from the cut log before anything is sent, then the
 * links are opened, then the inbox. The end goes the other way round; each step is bounded.
 */
public final class Site implements AutoCloseable {

  /** The cut log's name in a site's folder. */
  static final String LOG_FILE = "kerftally.db";

  private static final Logger LOG = LoggerFactory.getLogger(Site.class);

  private final SiteConfig config;
  private final Clock clock;
  private final @Nullable Path traces;
  private final CompletableFuture<Throwable> failed = new CompletableFuture<>();
  private final List<AutoCloseable> opened = new ArrayList<>();
  private final List<StationOwner> owners = new ArrayList<>();
  private final Map<String, StationState> states = new HashMap<>();
  private final CutLog log;
  private String stockSha256 = "";
  private String boardUrl = "";

  private Site(SiteConfig config, Clock clock, @Nullable Path traces)
      throws IOException, SiteHeldException {
    this.traces = traces;
    this.config = config;
    this.clock = clock;
    Path folder = Files.createDirectories(config.folder());
    opened.add(SiteLock.acquire(folder));
    try {
      log = CutLog.open(folder.resolve(LOG_FILE), clock);
      opened.add(log);
      start(folder);
    } catch (RuntimeException e) {
      closeAll();
      throw e;
    }
  }

  /**
   * Opens a site and starts it.
   *
   * @throws SiteHeldException when another instance holds the folder
   * @throws IOException when the folder cannot be made or locked
   * @throws org.kerftally.daemon.cutlog.CutLogException when the cut log cannot be opened
   */
  public static Site open(SiteConfig config, Clock clock) throws IOException, SiteHeldException {
    return open(config, clock, null);
  }

  /**
   * Opens a site that records its stations.
   *
   * @param traces the folder for the records, or {@code null} for none
   */
  public static Site open(SiteConfig config, Clock clock, @Nullable Path traces)
      throws IOException, SiteHeldException {
    return new Site(config, clock, traces);
  }

  private void start(Path folder) {
    StockDesk stock = new StockDesk(clock);
    JobIndex index = new JobIndex();
    ResultsWriter results = results(folder);
    log.follow(
        recorded -> {
          stock.follow(recorded);
          index.follow(recorded);
          results.accept(recorded);
        });
    opened.add(new ResultsOwner(results, failed::complete));
    log.replay(this::fold);
    PlanDesk plans = new PlanDesk(stock, config.planning().timeLimit(), System::nanoTime);
    opened.add(plans);
    for (StationConfig station : config.stations()) {
      owners.add(owner(station, plans));
    }
    opened.add(this::closeOwners);
    owners.forEach(owner -> owner.start(Version.text()));
    index
        .unqueued()
        .forEach(
            taken ->
                owner(taken.station())
                    .put(new StationInput.JobOffered(taken.order(), taken.plan())));
    JobDesk jobs = new JobDesk(log, stock, plans, owners);
    Intake intake = intake(folder, new OfficeDesk(log, jobs, index), jobs, index);
    opened.add(intake);
    if (config.board().isOn()) {
      SiteSources sources = new SiteSources(clock, owners, intake, stock, results, log, notes());
      log.follow(sources::follow);
      Board board = Board.open(config.board(), sources);
      opened.add(board);
      boardUrl = board.url();
    }
    intake.start(failed::complete);
  }

  private Map<String, List<String>> notes() {
    Map<String, List<String>> notes = new LinkedHashMap<>();
    config.stations().forEach(s -> notes.put(s.name(), s.link().wiring().notes()));
    return notes;
  }

  private ResultsWriter results(Path folder) {
    Map<String, StationSetup> setups = new LinkedHashMap<>();
    config.stations().forEach(s -> setups.put(s.name(), new StationSetup(config, s)));
    StationSetup first = setups.values().iterator().next();
    ResultsSite.SawRules rules =
        (station, material) -> setups.getOrDefault(station, first).rules().rulesFor(material);
    ResultsSite site = new ResultsSite(folder, rules, log::cuts, ZoneId.systemDefault());
    return new ResultsWriter(site, System::nanoTime);
  }

  private StationOwner owner(StationConfig station, PlanDesk plans) {
    StationSetup setup = new StationSetup(config, station);
    StationState state = states.getOrDefault(station.name(), StationState.EMPTY);
    StationTrace trace = trace(setup, state);
    StationOwner.Tools tools =
        new StationOwner.Tools(
            log,
            Links.open(station, config.folder(), clock, trace == null ? LinkTap.NONE : trace),
            plans,
            clock,
            System::nanoTime,
            trace == null ? DecisionWitness.NONE : trace);
    return new StationOwner(setup, state, tools, failed::complete);
  }

  private @Nullable StationTrace trace(StationSetup setup, StationState state) {
    if (traces == null) {
      return null;
    }
    StationTrace trace =
        StationTrace.start(traces, Version.text(), config, setup, state, clock, System::nanoTime);
    opened.add(trace);
    return trace;
  }

  /** A job whose station is gone from the configuration goes to the first that is there. */
  private StationOwner owner(String name) {
    return owners.stream().filter(o -> o.name().equals(name)).findFirst().orElse(owners.get(0));
  }

  private Intake intake(Path folder, OfficeDesk office, JobDesk jobs, JobIndex index) {
    FolderOps ops = new DiskFolderOps();
    Clocks clocks = new Clocks(System::nanoTime, clock);
    InboxWatcher inbox =
        new InboxWatcher(folder, config.intake(), ops, clocks, jobs::facts, index, office);
    StockWatcher stock =
        new StockWatcher(
            folder,
            config.intake(),
            ops,
            clocks,
            stockSha256.isEmpty() ? null : stockSha256,
            office);
    return new Intake(folder, config.intake(), stock, inbox);
  }

  private void fold(Recorded recorded) {
    String station = recorded.station();
    if (station != null && recorded.event() instanceof StationEvent event) {
      StationState before = states.getOrDefault(station, StationState.EMPTY);
      states.put(station, StationFold.apply(before, event));
    } else if (recorded.event() instanceof ShopEvent.StockStated stated) {
      stockSha256 = stated.sha256();
    }
  }

  /** Returns the cut log. */
  public CutLog log() {
    return log;
  }

  /** Returns the board's address, or the empty text when there is none. */
  public String boardUrl() {
    return boardUrl;
  }

  /** Returns what ended a part of the site against its will; incomplete while all is well. */
  public CompletableFuture<Throwable> failed() {
    return failed;
  }

  private void closeOwners() {
    List<Thread> closing = new ArrayList<>();
    for (StationOwner owner : owners) {
      Thread thread = new Thread(owner::close, "close-" + owner.name());
      thread.start();
      closing.add(thread);
    }
    for (Thread thread : closing) {
      try {
        thread.join();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  private void closeAll() {
    List<AutoCloseable> reversed = new ArrayList<>(opened);
    Collections.reverse(reversed);
    for (AutoCloseable part : reversed) {
      try {
        part.close();
      } catch (Exception e) {
        LOG.warn("a part did not close: {}", e.toString());
      }
    }
    opened.clear();
  }

  /** Ends in good order: inbox first, stations next, the cut log last. */
  @Override
  public synchronized void close() {
    closeAll();
  }
}
