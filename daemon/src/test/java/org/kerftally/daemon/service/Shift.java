package org.kerftally.daemon.service;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.MemoryLog;
import org.kerftally.daemon.cutlog.MemoryLog.Fate;
import org.kerftally.daemon.cutlog.MemoryLog.Gone;
import org.kerftally.daemon.station.StationState;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent;

/**
 * Runs one shift of a whole site in one thread, told by one seed: intake, desks, stations and cut
 * log are the real ones, stepped by hand; disk, clock, network, saws, operators and office are made
 * up and fail in every way known. First comes a time in which anything may happen, then a calm one
 * in which all the work must come to its end. {@link ShiftLaws} and {@link ShiftShop} judge every
 * event and every step.
 */
final class Shift {

  private static final Path SITE = Path.of("/site");
  private static final int CALM_STEPS = 6_000;

  private final SplittableRandom random;
  private final ShiftClock clock = new ShiftClock();
  private final ShiftService.World world;
  private final ShiftFiles files;
  private final MemoryLog disk;
  private final ShiftShop shop = new ShiftShop();
  private final List<ShiftStation> stations = new ArrayList<>();
  private final int trouble;
  private int fullFor;
  private int awayFor;
  private @Nullable ShiftService service;
  private int startsIn;

  /** What the shift came to, for those who count. */
  int lives;

  Shift(long seed, ShiftDesign design) {
    this.random = new SplittableRandom(seed);
    this.files = new ShiftFiles(SITE, random);
    this.disk = new MemoryLog(clock, design.booksEachCycleOnce());
    this.trouble = 4 + random.nextInt(40);
    for (StationSetup setup : ShiftSetups.some(random)) {
      stations.add(new ShiftStation(setup, random, clock::nanos));
    }
    this.world = new ShiftService.World(SITE, files, disk, shop, stations, clock, random, design);
  }

  /** Returns all that is in the log. */
  List<Recorded> log() {
    return disk.events();
  }

  /** Returns how many cycles the saws made. */
  int cycles() {
    return stations.stream().mapToInt(s -> s.saw.truth.size()).sum();
  }

  private void judge(Recorded recorded) {
    shop.see(recorded);
    for (ShiftStation each : stations) {
      if (each.setup.name().equals(recorded.station())) {
        each.laws.see((StationEvent) recorded.event());
      }
    }
  }

  /**
   * Runs the whole shift.
   *
   * @throws AssertionError when a law is broken
   */
  void run() throws InterruptedException {
    files.drop(SITE.resolve("stock.csv"), shop.stock(random));
    start();
    int steps = 60 + random.nextInt(240);
    for (int i = 0; i < steps; i++) {
      office(i, steps);
      misfortune();
      step(false);
    }
    calm();
    int calm = 0;
    while (!isDone()) {
      step(true);
      if (calm++ > CALM_STEPS) {
        throw new AssertionError("the work does not come to its end: " + standing());
      }
    }
    for (ShiftStation each : stations) {
      each.laws.end(shop.jobsOf(each.setup.name()));
    }
    shop.end(files, SITE);
  }

  private void step(boolean calm) throws InterruptedException {
    clock.goOn(10 + random.nextInt(random.nextInt(10) == 0 ? 1_500 : 120));
    ShiftService running = service;
    for (ShiftStation each : stations) {
      each.carry();
      if (random.nextInt(calm ? 2 : 3) == 0) {
        each.operate(!calm && random.nextInt(25) == 0);
      }
    }
    try {
      if (running == null) {
        if (startsIn-- <= 0) {
          start();
        }
      } else {
        running.step();
      }
    } catch (Gone e) {
      die(random.nextBoolean());
    }
    shop.files(files, SITE);
  }

  private void start() {
    lives++;
    service = new ShiftService(world, this::judge);
  }

  /** The process is gone, perhaps with the power. */
  private void die(boolean powerCut) {
    service = null;
    disk.tell(null);
    disk.fate(Fate.WRITTEN);
    files.stepsToLive = -1;
    startsIn = random.nextInt(12);
    for (ShiftStation each : stations) {
      each.owner = null;
      each.link.orphan();
    }
    if (powerCut) {
      files.loseWhatWasNotForced();
    }
    catchUp();
  }

  /** What is on disk counts, told or not. */
  private void catchUp() {
    for (Recorded recorded : disk.events().subList(shop.seen(), disk.events().size())) {
      judge(recorded);
    }
  }

  private void office(int step, int steps) {
    if (random.nextInt(steps) < 3 && shop.mayDrop()) {
      ShiftShop.Drop drop = shop.drop(random);
      files.drop(SITE.resolve("inbox").resolve(drop.name()), drop.text());
    }
    if (random.nextInt(400) == 0) {
      files.drop(SITE.resolve("stock.csv"), shop.stock(random));
    }
    if (step == 0) {
      ShiftShop.Drop drop = shop.drop(random);
      files.drop(SITE.resolve("inbox").resolve(drop.name()), drop.text());
    }
  }

  private void misfortune() {
    if (fullFor > 0 && --fullFor == 0) {
      disk.fate(Fate.WRITTEN);
      files.full = false;
    }
    if (awayFor > 0 && --awayFor == 0) {
      files.away = false;
    }
    if (random.nextInt(100) >= trouble / 2) {
      return;
    }
    switch (random.nextInt(10)) {
      case 0 -> kill();
      case 1 -> clock.set(random.nextBoolean() ? -1 : 24);
      case 2 -> {
        if (fullFor == 0) {
          fullFor = 1 + random.nextInt(20);
          disk.fate(Fate.REFUSED);
          files.full = true;
        }
      }
      case 3 -> {
        files.away = true;
        awayFor = 1 + random.nextInt(20);
      }
      default ->
          stations
              .get(random.nextInt(stations.size()))
              .mishap(random.nextInt(ShiftStation.MISHAPS));
    }
  }

  private void kill() {
    if (service == null) {
      return;
    }
    switch (random.nextInt(4)) {
      case 0 -> die(random.nextBoolean());
      case 1 -> files.stepsToLive = random.nextInt(12);
      case 2 -> disk.fate(Fate.DIES_BEFORE);
      default -> disk.fate(Fate.DIES_AFTER);
    }
  }

  private void calm() {
    disk.fate(Fate.WRITTEN);
    files.full = false;
    files.away = false;
    files.stepsToLive = -1;
    stations.forEach(ShiftStation::calm);
  }

  private boolean isDone() {
    if (service == null || !shop.allTaken(files, SITE)) {
      return false;
    }
    for (ShiftStation each : stations) {
      StationState state = each.laws.state();
      StationOwner owner = each.owner;
      boolean rests =
          owner != null
              && !owner.hasWork()
              && state.linkUp()
              && state.run() == null
              && state.queue().isEmpty()
              && state.owed().isEmpty()
              && each.saw.isIdle()
              && state.counted() != null
              && state.counted().count() == each.saw.snapshot(clock.nanos()).cutCount();
      if (!rests) {
        return false;
      }
    }
    return true;
  }

  private String standing() {
    StringBuilder text = new StringBuilder();
    for (ShiftStation each : stations) {
      text.append(each.laws.state())
          .append('\n')
          .append(each.saw.snapshot(clock.nanos()))
          .append('\n');
      StationOwner owner = each.owner;
      text.append(owner == null ? "no service" : owner.view().prompt()).append('\n');
    }
    return text + shop.files(files, SITE).toString();
  }
}
