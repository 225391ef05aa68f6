package org.kerftally.daemon.planning.packing;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Packs by best fit decreasing: each piece goes into the open stick with the least room for it; a
 * new stick is opened where the piece fits at the least cost per length.
 */
final class BestFit {

  private final Instance instance;
  private final TreeMap<Long, Deque<Open>> open = new TreeMap<>();
  private final List<Open> sticks = new ArrayList<>();

  private static final class Open {
    final int type;
    final int[] counts;

    Open(int type, int[] counts) {
      this.type = type;
      this.counts = counts;
    }
  }

  private BestFit(Instance instance) {
    this.instance = instance;
  }

  /** Packs all, or returns {@code null} when the sticks do not suffice this way. */
  static @Nullable List<Packing.Use> pack(Instance instance) {
    return new BestFit(instance).packAll();
  }

  private @Nullable List<Packing.Use> packAll() {
    Remaining left = Remaining.of(instance);
    for (int i = 0; i < instance.itemCount(); i++) {
      for (int n = 0; n < instance.demands[i]; n++) {
        if (!place(i) && !openFor(i, left)) {
          return null;
        }
      }
    }
    List<Packing.Use> uses = new ArrayList<>();
    for (Open stick : sticks) {
      uses.add(new Packing.Use(Pattern.of(instance, stick.type, stick.counts), 1));
    }
    return uses;
  }

  private boolean place(int item) {
    long size = instance.sizes[item];
    Map.Entry<Long, Deque<Open>> entry = open.ceilingEntry(size);
    while (entry != null) {
      long room = entry.getKey() - size;
      Open stick = entry.getValue().getFirst();
      StickType type = instance.types().get(stick.type);
      if (type.fits(type.reach() - room)) {
        entry.getValue().removeFirst();
        if (entry.getValue().isEmpty()) {
          open.remove(entry.getKey());
        }
        put(stick, item, room);
        return true;
      }
      entry = open.higherEntry(entry.getKey());
    }
    return false;
  }

  private boolean openFor(int item, Remaining left) {
    long size = instance.sizes[item];
    List<StickType> types = instance.types();
    int best = -1;
    Comparator<StickType> order =
        Comparator.comparingDouble(type -> (double) type.cost() / type.reach());
    for (int t = 0; t < types.size(); t++) {
      if (left.sticks[t] > 0
          && types.get(t).fits(size)
          && (best < 0 || order.compare(types.get(t), types.get(best)) < 0)) {
        best = t;
      }
    }
    if (best < 0) {
      return false;
    }
    left.sticks[best]--;
    Open stick = new Open(best, new int[instance.itemCount()]);
    sticks.add(stick);
    put(stick, item, types.get(best).reach() - size);
    return true;
  }

  private void put(Open stick, int item, long room) {
    stick.counts[item]++;
    open.computeIfAbsent(room, key -> new ArrayDeque<>()).addLast(stick);
  }
}
