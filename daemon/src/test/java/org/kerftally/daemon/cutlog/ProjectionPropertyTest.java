package org.kerftally.daemon.cutlog;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.stock.StockLedger;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

final class ProjectionPropertyTest {

  private static final int RUNS = 6;
  private static final int APPENDS = 80;
  private static final List<CutKind> BOOKED =
      List.of(CutKind.PART, CutKind.TRIM, CutKind.SUSPECT, CutKind.UNATTRIBUTED);
  private static final String[] PARTS = {"leg", "rail"};

  @TempDir Path folder;

  /** A workshop that counts with its fingers. */
  private static final class Shop {
    final SplittableRandom random;
    final Map<String, long[]> counts = new LinkedHashMap<>();
    final List<String> jobs = new ArrayList<>();
    final List<PieceRejected> rejectable = new ArrayList<>();
    final Map<String, Offcut> toHand = new LinkedHashMap<>();
    long cuts;
    int labels;

    Shop(long seed) {
      random = new SplittableRandom(seed);
    }

    List<Event> events() {
      List<Event> events = new ArrayList<>();
      for (int i = 1 + random.nextInt(5); i > 0; i--) {
        events.add(event());
      }
      return events;
    }

    private Event event() {
      int dice = random.nextInt(20);
      if (jobs.isEmpty() || dice == 0) {
        return take();
      } else if (dice == 1 && jobs.size() > 3) {
        String job = jobs.remove(random.nextInt(jobs.size()));
        counts.keySet().removeIf(key -> key.startsWith(job + "/"));
        rejectable.removeIf(made -> made.job().equals(job));
        return new JobWithdrawn(job, "");
      } else if (dice <= 3) {
        return keep();
      } else if (dice == 4) {
        return state();
      } else if (dice <= 6) {
        return load();
      } else if (dice <= 8 && !rejectable.isEmpty()) {
        PieceRejected made = rejectable.remove(rejectable.size() - 1);
        count(made.job(), made.part())[1]--;
        count(made.job(), made.part())[2]++;
        return made;
      }
      return dice == 9 ? remain() : cut();
    }

    private long[] count(String job, String part) {
      return counts.get(job + "/" + part);
    }

    private Event take() {
      String job = "job-" + ++labels;
      int quantity = 1 + random.nextInt(9);
      jobs.add(job);
      counts.put(job + "/leg", new long[] {quantity + 2, 0, 0});
      counts.put(job + "/rail", new long[] {5, 0, 0});
      return new JobTaken(
          Samples.order(
              job,
              Samples.part("leg", 400, quantity),
              Samples.part("rail", 700, 5),
              Samples.part("leg", 410, 2)),
          "saw1",
          Samples.plan());
    }

    private Event cut() {
      String job = jobs.get(random.nextInt(jobs.size()));
      CutKind kind = BOOKED.get(random.nextInt(BOOKED.size()));
      boolean known = kind != CutKind.UNATTRIBUTED;
      String part = kind == CutKind.TRIM || !known ? null : PARTS[random.nextInt(2)];
      Length length = known ? Length.ofMm(400) : null;
      cuts++;
      if (kind == CutKind.PART) {
        count(job, part)[1]++;
        rejectable.add(new PieceRejected(cuts, "b1", cuts, job, part));
      }
      return new CutBooked(
          "b1",
          cuts,
          kind,
          known ? cuts : 0,
          known ? job : null,
          part,
          known ? 1 : 0,
          length,
          length,
          length,
          null,
          null,
          null);
    }

    private Event remain() {
      String job = jobs.get(random.nextInt(jobs.size()));
      String part = PARTS[random.nextInt(2)];
      count(job, part)[1]++;
      rejectable.add(new PieceRejected(cuts, null, 0, job, part));
      return new PieceRemained(job, part, 1, Length.ofMm(400));
    }

    private Event keep() {
      Offcut offcut = new Offcut("saw1-" + ++labels, "pine", Length.ofMm(300 + labels), "job-1");
      toHand.put(offcut.label(), offcut);
      return new StickDone("job-1", 1, offcut.length(), offcut);
    }

    private Event state() {
      List<StockItem> items = new ArrayList<>();
      if (!toHand.isEmpty() && random.nextBoolean()) {
        Offcut listed = toHand.remove(List.copyOf(toHand.keySet()).get(0));
        items.add(
            new StockItem(
                listed.material(), listed.length(), 1, null, StickKind.OFFCUT, listed.label()));
      }
      return new StockStated("", items);
    }

    private Event load() {
      Offcut offcut = toHand.isEmpty() ? null : toHand.remove(List.copyOf(toHand.keySet()).get(0));
      Length length = offcut == null ? Length.ofMm(2440) : offcut.length();
      PlannedSticks stick =
          new PlannedSticks(
              "pine",
              length,
              offcut == null ? StickKind.NEW : StickKind.OFFCUT,
              offcut == null ? null : offcut.label(),
              BigDecimal.ZERO,
              1,
              Length.ZERO,
              List.of(),
              Length.ZERO,
              null);
      return new StickLoaded("job-1", 1, stick, length, 1);
    }
  }

  @Test
  void theTablesCountAsAWorkshopWould() {
    for (int run = 0; run < RUNS; run++) {
      Shop shop = new Shop(run);
      StockLedger[] ledger = {StockLedger.EMPTY};
      try (CutLog log = CutLog.open(folder.resolve(run + ".db"), Clock.systemUTC())) {
        log.subscribe(recorded -> ledger[0] = ledger[0].apply(recorded));
        for (int i = 0; i < APPENDS; i++) {
          log.append("saw1", shop.events());
          String where = "seed " + run + ", append " + i;
          Map<String, List<Long>> found = new LinkedHashMap<>();
          for (JobCount c : log.jobCounts()) {
            found.put(c.job() + "/" + c.part(), List.of(c.wanted(), c.made(), c.rejected()));
          }
          Map<String, List<Long>> expected = new LinkedHashMap<>();
          shop.counts.forEach((key, n) -> expected.put(key, List.of(n[0], n[1], n[2])));
          assertThat(found).as(where).isEqualTo(expected);
          assertThat(toHand(log)).as(where).isEqualTo(List.copyOf(shop.toHand.values()));
          assertThat(ledger[0].offcuts()).as(where).isEqualTo(toHand(log));
        }
        assertThat(log.verify()).isEmpty();
      }
    }
  }

  private static List<Offcut> toHand(CutLog log) {
    return log.offcuts().stream()
        .filter(logged -> logged.state() == LoggedOffcut.State.TO_HAND)
        .map(LoggedOffcut::offcut)
        .toList();
  }

  /** Events without sense are either taken or refused as their author's mistake, never half. */
  @Test
  void senselessEventsNeverBreakTheLog() {
    try (CutLog log = CutLog.open(folder.resolve("any.db"), Clock.systemUTC())) {
      SplittableRandom random = new SplittableRandom(RUNS);
      EventGenerator generator = new EventGenerator(RUNS);
      List<Class<? extends Event>> types = EventGenerator.types();
      int written = 0;
      for (int i = 0; i < 10 * APPENDS; i++) {
        List<Event> events = new ArrayList<>();
        for (int n = 1 + random.nextInt(3); n > 0; n--) {
          events.add(generator.next(types.get(random.nextInt(types.size()))));
        }
        try {
          written += log.append("saw1", events).size();
        } catch (IllegalStateException e) {
          assertThat(e).hasMessageNotContaining("a subscriber");
        }
      }
      int[] replayed = {0};
      log.replay(recorded -> replayed[0]++);
      assertThat(replayed[0]).isEqualTo(written).isGreaterThan(APPENDS);
      assertThat(log.verify()).isEmpty();
    }
  }
}
