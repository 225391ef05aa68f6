package org.kerftally.daemon.stock;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.stock.StockLedgerTest.after;
import static org.kerftally.daemon.stock.StockLedgerTest.done;
import static org.kerftally.daemon.stock.StockLedgerTest.fresh;
import static org.kerftally.daemon.stock.StockLedgerTest.item;
import static org.kerftally.daemon.stock.StockLedgerTest.loaded;
import static org.kerftally.daemon.stock.StockLedgerTest.stated;
import static org.kerftally.daemon.stock.StockLedgerTest.sticks;
import static org.kerftally.daemon.stock.StockLedgerTest.taken;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Runs the ledger beside a shop of single sticks that are carried about one by one: the same sticks
 * must lie on both racks after every event.
 */
final class StockLedgerPropertyTest {

  private static final int RUNS = 150;
  private static final int STEPS = 120;
  private static final int UNLIMITED_MM = 6000;

  /** The naive shop: a stick is a text, the rack a list of them. */
  private static final class Shop {
    final SplittableRandom random;
    final List<String> rack = new ArrayList<>();
    final List<String> ours = new ArrayList<>();
    final Map<String, List<String>> claims = new TreeMap<>();
    final Map<String, PlannedSticks> planned = new HashMap<>();
    int labels;
    int jobs;

    Shop(long seed) {
      random = new SplittableRandom(seed);
    }

    Event step() {
      return switch (random.nextInt(12)) {
        case 0 -> state();
        case 1, 2 -> take();
        case 3 -> end();
        case 4 -> replan();
        case 5, 6 -> keep();
        default -> load();
      };
    }

    private Event state() {
      rack.clear();
      List<StockItem> items = new ArrayList<>();
      items.add(fresh(UNLIMITED_MM, null));
      for (int mm : new int[] {2440, 3000}) {
        int quantity = random.nextInt(6);
        items.add(fresh(mm, quantity));
        rack.addAll(Collections.nCopies(quantity, "NEW " + mm));
      }
      if (!ours.isEmpty() && random.nextBoolean()) {
        String listed = ours.remove(random.nextInt(ours.size()));
        String[] words = listed.split(" ", -1);
        items.add(item(Integer.parseInt(words[1]), 1, StickKind.OFFCUT, words[2]));
        rack.add(listed);
      }
      return stated(items.toArray(StockItem[]::new));
    }

    private PlannedSticks anyStick() {
      List<String> offcuts = new ArrayList<>(ours);
      rack.stream().filter(s -> s.startsWith("OFFCUT")).forEach(offcuts::add);
      if (!offcuts.isEmpty() && random.nextInt(3) == 0) {
        String[] words = offcuts.get(random.nextInt(offcuts.size())).split(" ", -1);
        return sticks(Integer.parseInt(words[1]), StickKind.OFFCUT, words[2], 1);
      }
      int[] lengths = {2440, 3000, UNLIMITED_MM, 4000};
      int mm = lengths[random.nextInt(lengths.length)];
      return sticks(mm, StickKind.NEW, null, 1 + random.nextInt(3));
    }

    private PlannedSticks[] anyPlan(String job) {
      PlannedSticks[] plan = new PlannedSticks[random.nextInt(4)];
      List<String> claim = new ArrayList<>();
      for (int i = 0; i < plan.length; i++) {
        plan[i] = anyStick();
        planned.put(name(plan[i]), plan[i].single());
        claim.addAll(Collections.nCopies(plan[i].repeat(), name(plan[i])));
      }
      claims.put(job, claim);
      return plan;
    }

    private Event take() {
      String job = "job-" + ++jobs;
      return taken(job, anyPlan(job));
    }

    private @Nullable String anyJob() {
      List<String> known = List.copyOf(claims.keySet());
      return known.isEmpty() ? null : known.get(random.nextInt(known.size()));
    }

    private Event end() {
      String job = anyJob();
      if (job == null) {
        return take();
      }
      claims.remove(job);
      return new JobEnded(job, List.of());
    }

    private Event replan() {
      String job = anyJob();
      return job == null ? take() : new Replanned(job, "", StockLedgerTest.plan(anyPlan(job)));
    }

    private Event keep() {
      int mm = 300 + random.nextInt(500);
      String label = "saw1-" + ++labels;
      ours.add("OFFCUT " + mm + " " + label);
      return done(mm, label);
    }

    private Event load() {
      String job = anyJob();
      if (job == null || claims.get(job).isEmpty()) {
        return take();
      }
      List<String> claim = claims.get(job);
      String stick = claim.remove(random.nextInt(claim.size()));
      if (!ours.remove(stick)) {
        rack.remove(stick);
      }
      return loaded(job, planned.get(stick));
    }

    Map<String, Integer> free(@Nullable String exceptJob) {
      List<String> left = new ArrayList<>(rack);
      left.addAll(ours);
      claims.forEach(
          (job, claim) -> {
            if (!job.equals(exceptJob)) {
              claim.forEach(left::remove);
            }
          });
      return counted(left);
    }

    Map<String, Integer> all() {
      List<String> all = new ArrayList<>(rack);
      all.addAll(ours);
      return counted(all);
    }
  }

  private static String name(PlannedSticks s) {
    return s.kind() + " " + s.length().toMm() + (s.label() == null ? "" : " " + s.label());
  }

  private static Map<String, Integer> counted(List<String> sticks) {
    Map<String, Integer> counts = new TreeMap<>();
    sticks.forEach(stick -> counts.merge(stick, 1, Integer::sum));
    return counts;
  }

  private static Map<String, Integer> counted(String seed, Iterable<StockItem> items) {
    Map<String, Integer> counts = new TreeMap<>();
    for (StockItem i : items) {
      if (i.quantity() == null) {
        assertThat(i.length().toMm().intValue()).as(seed).isEqualTo(UNLIMITED_MM);
        continue;
      }
      assertThat(i.quantity()).as(seed).isPositive();
      String label = i.label() == null ? "" : " " + i.label();
      counts.merge(i.kind() + " " + i.length().toMm() + label, i.quantity(), Integer::sum);
    }
    return counts;
  }

  @Test
  void theLedgerHoldsTheSticksThatAShopWouldHold() {
    for (long run = 0; run < RUNS; run++) {
      Shop shop = new Shop(run);
      StockLedger ledger = StockLedger.EMPTY;
      for (int step = 0; step < STEPS; step++) {
        Event event = shop.step();
        ledger = after(ledger, event);
        String where = "seed " + run + ", step " + step + ": " + event;
        assertThat(counted(where, ledger.toHand())).as(where).isEqualTo(shop.all());
        assertThat(counted(where, ledger.available(null))).as(where).isEqualTo(shop.free(null));
        String job = shop.anyJob();
        if (job != null) {
          assertThat(counted(where, ledger.available(job))).as(where).isEqualTo(shop.free(job));
        }
        assertThat(ledger.offcuts()).as(where).hasSameSizeAs(shop.ours);
      }
    }
  }
}
