package org.kerftally.daemon.service;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.SplittableRandom;
import java.util.function.Consumer;
import org.kerftally.config.IntakeConfig;
import org.kerftally.daemon.cutlog.EventLog;
import org.kerftally.daemon.cutlog.MemoryLog;
import org.kerftally.daemon.intake.folder.Clocks;
import org.kerftally.daemon.intake.folder.InboxWatcher;
import org.kerftally.daemon.intake.folder.Intake;
import org.kerftally.daemon.intake.folder.StockWatcher;
import org.kerftally.daemon.station.StationFold;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationState;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.event.StationEvent;

/** Is one life of the service: everything that is gone when the process ends. */
final class ShiftService {

  private static final int INPUTS_A_STEP = 50;
  private static final IntakeConfig INTAKE =
      new IntakeConfig(Duration.ofMillis(500), Duration.ofSeconds(1), 1 << 20);

  /** What a life of the service finds and leaves behind. */
  record World(
      Path site,
      ShiftFiles files,
      MemoryLog disk,
      ShiftShop office,
      List<ShiftStation> stations,
      ShiftClock clock,
      SplittableRandom random,
      ShiftDesign design) {}

  final Map<String, StationOwner> owners = new LinkedHashMap<>();
  final Deque<Runnable> replans = new ArrayDeque<>();
  final StockDesk stock;
  final Intake intake;
  private final World world;

  /**
   * Begins a life with a replay of what is on disk.
   *
   * @param shop the world it lives in
   * @param judge is told every event that is on disk, before anything else is
   */
  ShiftService(World shop, Consumer<Recorded> judge) {
    this.world = shop;
    this.stock = new StockDesk(shop.clock());
    Map<String, StationState> states = new LinkedHashMap<>();
    JobIndex index = new JobIndex();
    String sha = null;
    for (Recorded recorded : shop.disk().events()) {
      stock.follow(recorded);
      index.follow(recorded);
      if (recorded.event() instanceof StationEvent event) {
        String name = Objects.requireNonNull(recorded.station());
        states.put(name, StationFold.apply(states.getOrDefault(name, StationState.EMPTY), event));
      } else if (recorded.event() instanceof StockStated stated) {
        sha = stated.sha256();
      }
    }
    shop.disk()
        .tell(
            recorded -> {
              judge.accept(recorded);
              stock.follow(recorded);
              index.follow(recorded);
              shop.office().settled(stock.ledger());
            });
    shop.office().settled(stock.ledger());
    EventLog log = shop.design().log(shop.disk());
    PlanDesk plans =
        new PlanDesk(
            stock, Duration.ofSeconds(1), shop.clock()::nanos, new FirstFit(), replans::add);
    for (ShiftStation each : world.stations()) {
      String name = each.setup.name();
      StationState state = states.getOrDefault(name, StationState.EMPTY);
      each.laws.settled(state);
      StationOwner.Tools tools =
          new StationOwner.Tools(log, each.connect(), plans, shop.clock(), shop.clock()::nanos);
      StationOwner owner =
          new StationOwner(
              each.setup,
              state,
              tools,
              ShiftService::died,
              each.deciding(shop.design().decider(each.setup)));
      owners.put(name, owner);
      each.owner = owner;
      owner.begin("simulated");
      owner.listen();
    }
    for (JobTaken taken : index.unqueued()) {
      Objects.requireNonNull(owners.get(taken.station()))
          .put(new StationInput.JobOffered(taken.order(), taken.plan()));
    }
    JobDesk jobs = new JobDesk(log, stock, plans, List.copyOf(owners.values()));
    OfficeDesk office = new OfficeDesk(log, jobs, index);
    Clocks clocks = new Clocks(shop.clock()::nanos, shop.clock());
    intake =
        new Intake(
            shop.site(),
            INTAKE,
            new StockWatcher(shop.site(), INTAKE, shop.files(), clocks, sha, office),
            new InboxWatcher(
                shop.site(), INTAKE, shop.files(), clocks, jobs::facts, index, office));
  }

  void step() throws InterruptedException {
    if (world.random().nextInt(3) == 0) {
      intake.doWork();
    }
    if (!replans.isEmpty() && world.random().nextBoolean()) {
      replans.remove().run();
    }
    for (ShiftStation each : world.stations()) {
      StationOwner owner = Objects.requireNonNull(owners.get(each.setup.name()));
      boolean taken = owner.step(0);
      for (int i = 0; taken && owner.hasWork() && i < INPUTS_A_STEP; i++) {
        taken = owner.step(0);
      }
      if (world.random().nextInt(16) == 0) {
        each.laws.settled(owner.state());
      }
    }
  }

  private static void died(Throwable cause) {
    throw new AssertionError("a station stopped by a fault of its own", cause);
  }
}
