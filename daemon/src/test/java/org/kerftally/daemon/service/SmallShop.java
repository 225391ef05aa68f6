package org.kerftally.daemon.service;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.IntakeConfig;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.intake.folder.Clocks;
import org.kerftally.daemon.intake.folder.DiskFolderOps;
import org.kerftally.daemon.intake.folder.FolderOps;
import org.kerftally.daemon.intake.folder.InboxWatcher;
import org.kerftally.daemon.intake.folder.Intake;
import org.kerftally.daemon.intake.folder.StockWatcher;
import org.kerftally.daemon.results.AtomicFile;
import org.kerftally.daemon.results.ResultsSite;
import org.kerftally.daemon.results.ResultsWriter;
import org.kerftally.daemon.station.StationFold;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationState;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.length.Length;

/**
 * A whole small shop of real parts, stepped by one thread: intake, planner, cut log, station,
 * results, with files on a real disk. Only the saw, the office and the clock are made up. The saw
 * and the office outlive the service, which may die and be started again.
 */
final class SmallShop {

  static final String FIRST_STOCK =
      "material,length,qty,cost,kind,label\npine-19x146,2400,3,,new,\n";
  static final String SECOND_STOCK =
      "material,length,qty,cost,kind,label\npine-19x146,2400,2,,new,\n";
  static final Map<String, String> JOBS =
      Map.of(
          "supers.csv", "part,length,qty,material\nsuper side,505,2,pine-19x146\n",
          "stands.csv", "part,length,qty,material\nleg,370,1,pine-19x146\n");

  private static final long STEP_NANOS = 500_000_000;
  private static final int INPUTS_A_STEP = 12;
  private static final Instant NOON = Instant.parse("2027-03-01T12:00:00Z");

  final Path folder;
  final Saw saw = new Saw();

  /** Every event that was acknowledged, by its id, over all lives of the service. */
  final Map<Long, Recorded> acknowledged = new TreeMap<>();

  /** Every event that is in the log, acknowledged or found there by a later life. */
  private final Map<Long, Recorded> known = new TreeMap<>();

  /** What the service says of itself, each time it said something else. */
  final List<String> said = new ArrayList<>();

  final List<String> breaches = new ArrayList<>();
  private final FaultOnce faults;
  private long nanos;
  private boolean secondDropped;
  private @Nullable Service service;

  SmallShop(Path folder, FaultOnce faults) throws IOException {
    this.folder = folder;
    this.faults = faults;
    Files.createDirectories(folder.resolve("inbox"));
    Files.writeString(folder.resolve("stock.csv"), FIRST_STOCK);
    drop("supers.csv");
  }

  private void drop(String name) throws IOException {
    Files.writeString(folder.resolve("inbox").resolve(name), JOBS.getOrDefault(name, ""));
  }

  /** Is a device that keeps its contract, with what really happened. */
  final class Saw implements PositionerLink {
    final List<Long> cuts = new ArrayList<>();
    private Consumer<LinkEvent> sink = event -> {};
    private @Nullable Target active;
    private @Nullable LastCut last;
    private long highestSeq;
    private long presses;

    @Override
    public void start(Consumer<LinkEvent> receiver) {
      sink = receiver;
      sink.accept(new LinkEvent.Up(snapshot()));
    }

    @Override
    public boolean send(Target target) {
      if (target.seq() <= highestSeq) {
        breaches.add("target " + target.seq() + " after " + highestSeq);
      }
      highestSeq = target.seq();
      active = target;
      sink.accept(new LinkEvent.Replied(target.seq(), true, null));
      sink.accept(new LinkEvent.Snapshot(snapshot()));
      return true;
    }

    private DeviceSnapshot snapshot() {
      Target held = active;
      return new DeviceSnapshot(
          "boot-1",
          cuts.size(),
          last,
          held == null ? 0 : held.seq(),
          held == null ? Length.ofMm(100) : held.position(),
          held != null,
          true,
          true,
          true,
          SawState.IDLE,
          0,
          "",
          new OperatorPanel(0, null, 0, 0, null, presses, false));
    }

    /** Does what an operator would do who looks at the panel. */
    void operate(Prompt prompt) {
      Target held = active;
      if (prompt.kind() == Prompt.Kind.ACKNOWLEDGE) {
        presses++;
      } else if (prompt.kind() == Prompt.Kind.CUT && held != null && !cuts.contains(held.seq())) {
        cuts.add(held.seq());
        last = new LastCut("boot-1", cuts.size(), held.seq(), held.position(), null);
      }
      sink.accept(new LinkEvent.Snapshot(snapshot()));
    }

    @Override
    public void show(Prompt prompt) {}

    @Override
    public void close() {}
  }

  /** Holds everything that dies with the process. */
  private final class Service {
    final CutLog log;
    final PlanDesk plans;
    final StationOwner owner;
    final Intake intake;
    final ResultsWriter results;
    StationState state = StationState.EMPTY;
    String stock = "";

    Service() {
      log = CutLog.open(folder.resolve("kerftally.db"), clock());
      try {
        StockDesk desk = new StockDesk(clock());
        JobIndex index = new JobIndex();
        results =
            new ResultsWriter(
                new ResultsSite(
                    folder,
                    (s, m) -> Samples.station("saw1").rules().rulesFor(m),
                    log::cuts,
                    ZoneOffset.UTC),
                () -> nanos,
                FaultyFiles.wrap(AtomicFile.Steps.class, AtomicFile.DISK, faults));
        log.follow(
            recorded -> {
              desk.follow(recorded);
              index.follow(recorded);
              results.accept(recorded);
              fold(recorded);
              known.put(recorded.id(), recorded);
            });
        log.subscribe(recorded -> acknowledged.put(recorded.id(), recorded));
        plans = new PlanDesk(desk, Duration.ofMinutes(1), () -> nanos);
        owner =
            new StationOwner(
                Samples.station("saw1"),
                state,
                new StationOwner.Tools(log, saw, plans, clock(), () -> nanos),
                death -> breaches.add("the owner died: " + death));
        JobDesk jobs = new JobDesk(log, desk, plans, List.of(owner));
        OfficeDesk office = new OfficeDesk(log, jobs, index);
        FolderOps ops = FaultyFiles.wrap(FolderOps.class, new DiskFolderOps(), faults);
        Clocks clocks = new Clocks(() -> nanos, clock());
        IntakeConfig config = IntakeConfig.DEFAULT;
        intake =
            new Intake(
                folder,
                config,
                new StockWatcher(
                    folder, config, ops, clocks, stock.isEmpty() ? null : stock, office),
                new InboxWatcher(folder, config, ops, clocks, jobs::facts, index, office));
        owner.put(new StationInput.Begin("test"));
        saw.start(event -> owner.put(new StationInput.FromLink(event)));
        index.unqueued().forEach(t -> owner.put(new StationInput.JobOffered(t.order(), t.plan())));
      } catch (RuntimeException e) {
        log.close();
        throw e;
      }
    }

    private void fold(Recorded recorded) {
      if (recorded.event() instanceof StationEvent event) {
        state = StationFold.apply(state, event);
      } else if (recorded.event() instanceof StockStated stated) {
        stock = stated.sha256();
      }
    }

    void step() throws InterruptedException {
      intake.doWork();
      boolean taken = true;
      for (int i = 0; i < INPUTS_A_STEP && taken; i++) {
        taken = owner.step(0);
      }
      results.doWork();
      say();
      saw.operate(owner.view().prompt());
    }

    private void say() {
      List<String> now = new ArrayList<>();
      if (owner.view().trouble() != null) {
        now.add("station: " + owner.view().trouble());
      }
      if (intake.inboxState().trouble() != null) {
        now.add("inbox: " + intake.inboxState().trouble());
      }
      if (intake.stockState().trouble() != null) {
        now.add("stock: " + intake.stockState().trouble());
      }
      intake.inboxState().waiting().stream()
          .filter(w -> !w.reason().contains("must stop changing"))
          .forEach(w -> now.add("waiting: " + w.reason()));
      results.problems().forEach(p -> now.add("results: " + p.text()));
      said.addAll(now);
    }

    void die() {
      plans.close();
      log.close();
    }
  }

  private Clock clock() {
    return new Clock() {
      @Override
      public ZoneId getZone() {
        return ZoneOffset.UTC;
      }

      @Override
      public Clock withZone(ZoneId zone) {
        return this;
      }

      @Override
      public Instant instant() {
        return NOON.plusNanos(nanos);
      }
    };
  }

  /**
   * Goes on for half a second of its own time, starting the service where it does not run.
   *
   * @throws RuntimeException when the service dies of something; the next step starts it again
   */
  void step() throws IOException, InterruptedException {
    nanos += STEP_NANOS;
    try {
      Service running = service;
      if (running == null) {
        running = new Service();
        service = running;
      }
      running.step();
    } catch (RuntimeException e) {
      kill();
      throw e;
    }
    if (!secondDropped && ended() == 1) {
      secondDropped = true;
      Files.writeString(folder.resolve("stock.csv"), SECOND_STOCK);
      drop("stands.csv");
    }
  }

  /** Ends the service as a kill does: nothing is said or tidied. */
  void kill() {
    Service running = service;
    service = null;
    if (running != null) {
      running.die();
    }
  }

  private long ended() {
    return known.values().stream().filter(r -> r.event() instanceof JobEnded).count();
  }

  /** Tells whether both jobs are made, all is written, and nothing is left to do or to say. */
  boolean isDone() {
    Service running = service;
    return running != null
        && ended() == JOBS.size()
        && running.results.settled()
        && running.results.problems().isEmpty()
        && running.owner.view().trouble() == null
        && running.intake.inboxState().waiting().isEmpty()
        && known.values().stream().filter(r -> r.event() instanceof StockStated).count() == 2;
  }

  /** Returns in which folders a dropped file lies now. */
  List<String> foldersOf(String name) throws IOException {
    List<String> found = new ArrayList<>();
    byte[] content = JOBS.getOrDefault(name, "").getBytes(UTF_8);
    for (String each : List.of("inbox", "taken", "refused")) {
      Path file = folder.resolve(each).resolve(name);
      if (Files.exists(file) && Arrays.equals(Files.readAllBytes(file), content)) {
        found.add(each);
      }
    }
    return found;
  }

  boolean secondDropped() {
    return secondDropped;
  }
}
