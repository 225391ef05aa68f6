package org.kerftally.daemon.service;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.stock.StockLedger;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.event.StationEvent.JobUnqueued;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Is the office of the simulated shop, with the laws that hold between its files, the rack and the
 * log: a file dropped is in exactly one folder, and in the log once; no stick comes from nowhere or
 * goes missing, in nanometres.
 */
final class ShiftShop {

  private static final int MAX_DROPS = 4;

  /** Is a file that the office drops. */
  record Drop(String name, String text) {}

  /** Says which sticks of the rack are as good as each other. */
  private record Sort(StickKind kind, long nm, @Nullable String label) {}

  private final List<Drop> drops = new ArrayList<>();
  private final Map<String, String> stationOf = new HashMap<>();
  private final Set<String> gone = new HashSet<>();
  private final Map<String, Long> offcuts = new HashMap<>();
  private final Map<Sort, Integer> rack = new HashMap<>();
  private int seen;
  private int statements;

  boolean mayDrop() {
    return drops.size() < MAX_DROPS;
  }

  /** The office writes a cut list, sometimes a new revision of one. */
  Drop drop(SplittableRandom random) {
    StringBuilder text = new StringBuilder("# job: supers ").append(drops.size()).append('\n');
    if (random.nextInt(4) == 0) {
      text.append("# priority: ").append(1 + random.nextInt(9)).append('\n');
    }
    text.append("part,length,qty,material\n");
    int parts = 1 + random.nextInt(3);
    for (int i = 0; i < parts; i++) {
      int mm = 150 + random.nextInt(i == 0 ? 1_000 : 500);
      text.append("part ").append(i).append(',').append(mm).append(',');
      text.append(1 + random.nextInt(3)).append(",pine\n");
    }
    boolean revision = !drops.isEmpty() && random.nextInt(4) == 0;
    String name = revision ? drops.get(0).name() : "supers" + drops.size() + ".csv";
    Drop drop = new Drop(name, text.toString());
    drops.add(drop);
    return drop;
  }

  /** The office states what is on the rack. */
  String stock(SplittableRandom random) {
    StringBuilder text = new StringBuilder("material,length,qty,cost,kind,label\n");
    text.append("pine,2400,").append(random.nextInt(3) == 0 ? "" : 1 + random.nextInt(9));
    text.append(",,new,\n");
    if (random.nextBoolean()) {
      text.append("pine,1800,").append(1 + random.nextInt(3)).append(",,new,\n");
    }
    if (random.nextBoolean()) {
      text.append("pine,").append(700 + random.nextInt(500)).append(",1,,offcut,R");
      text.append(++statements).append('\n');
    }
    return text.toString();
  }

  /** Returns how many events were seen. */
  int seen() {
    return seen;
  }

  /** Judges one event that is on disk now. */
  void see(Recorded recorded) {
    if (recorded.id() != seen + 1) {
      throw new AssertionError("no event is lost or told twice: " + recorded + " after " + seen);
    }
    seen++;
    Event event = recorded.event();
    if (event instanceof JobTaken e) {
      if (stationOf.put(e.order().id(), e.station()) != null) {
        throw new AssertionError("a job is taken once: " + e);
      }
    } else if (event instanceof JobUnqueued e) {
      gone.add(e.job());
    } else if (event instanceof StockStated e) {
      rack.clear();
      for (StockItem item : e.items()) {
        offcuts.remove(item.label());
        if (item.quantity() != null) {
          rack.put(new Sort(item.kind(), item.length().nm(), item.label()), item.quantity());
        }
      }
    } else if (event instanceof StickLoaded e) {
      load(e);
    } else if (event instanceof StickDone e && e.offcut() != null) {
      offcuts.put(e.offcut().label(), e.offcut().length().nm());
    }
  }

  private void load(StickLoaded e) {
    String label = e.planned().label();
    if (label != null && offcuts.remove(label) != null) {
      return;
    }
    Sort sort = new Sort(e.planned().kind(), e.planned().length().nm(), label);
    rack.computeIfPresent(sort, (s, there) -> Math.max(0, there - 1));
  }

  /** Judges the ledger against a sum of its own. */
  void settled(StockLedger ledger) {
    long nm = 0;
    for (StockItem item : ledger.toHand()) {
      nm += item.quantity() == null ? 0 : item.length().nm() * item.quantity();
    }
    long mine = offcuts.values().stream().mapToLong(Long::longValue).sum();
    for (Map.Entry<Sort, Integer> line : rack.entrySet()) {
      mine += line.getKey().nm() * line.getValue();
    }
    if (nm != mine) {
      throw new AssertionError("stock is conserved: " + nm + " nm to hand, not " + mine);
    }
  }

  /** Returns the jobs that a station has to bring to an end. */
  Set<String> jobsOf(String station) {
    Set<String> jobs = new HashSet<>();
    stationOf.forEach(
        (job, at) -> {
          if (at.equals(station) && !gone.contains(job)) {
            jobs.add(job);
          }
        });
    return jobs;
  }

  /** Judges the folders: nothing that was dropped is lost or there twice. */
  List<String> files(ShiftFiles files, Path site) {
    List<String> waiting = new ArrayList<>(files.contents(site.resolve("inbox")));
    List<String> all = new ArrayList<>(waiting);
    all.addAll(files.contents(site.resolve("taken")));
    all.addAll(files.contents(site.resolve("refused")));
    for (Drop drop : drops) {
      long copies = all.stream().filter(drop.text()::equals).count();
      if (copies != 1 && !isReplaced(drop)) {
        throw new AssertionError("a dropped file is in one folder: " + drop + " in " + copies);
      }
    }
    return waiting;
  }

  /** A revision written over a file that was still in the inbox is the office's own doing. */
  private boolean isReplaced(Drop drop) {
    return drops.stream().filter(d -> d.name().equals(drop.name())).count() > 1;
  }

  boolean allTaken(ShiftFiles files, Path site) {
    return files.contents(site.resolve("inbox")).isEmpty();
  }

  /** Judges the end of a shift. */
  void end(ShiftFiles files, Path site) {
    files(files, site);
    int taken = files.contents(site.resolve("taken")).size();
    boolean revised = drops.stream().anyMatch(this::isReplaced);
    if (revised ? taken > stationOf.size() : taken != stationOf.size()) {
      throw new AssertionError(taken + " files taken for jobs " + stationOf.keySet());
    }
  }
}
