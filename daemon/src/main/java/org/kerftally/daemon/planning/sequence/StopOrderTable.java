package org.kerftally.daemon.planning.sequence;

import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Orders few sticks exactly: the least weight for every set of sticks cut and every way the last of
 * them was cut (Held &amp; Karp 1962). How many parts are open depends on the set alone, so the
 * limit is kept by leaving out what breaks it.
 */
final class StopOrderTable {

  private static final long NEVER = Long.MAX_VALUE;

  private final List<List<StopWay>> ways;
  private final List<BitSet> parts;
  private final int first;
  private final int limit;
  private final Junction junction;
  private final @Nullable Length from;
  private final int[] offset;

  /** What it takes to come from one stand to the next. */
  interface Junction {
    long weight(@Nullable Length end, Length start);
  }

  StopOrderTable(
      List<List<StopWay>> ways,
      List<BitSet> parts,
      int first,
      int limit,
      Junction junction,
      @Nullable Length from) {
    this.ways = ways;
    this.parts = parts;
    this.first = first;
    this.limit = limit;
    this.junction = junction;
    this.from = from;
    this.offset = new int[ways.size() + 1];
    for (int n = 0; n < ways.size(); n++) {
      offset[n + 1] = offset[n] + ways.get(n).size();
    }
  }

  /** Returns the best order within the limit. */
  int[] order() {
    int n = ways.size();
    int all = (1 << n) - 1;
    long[][] least = new long[1 << n][];
    int[][] before = new int[1 << n][];
    for (int set = 1; set <= all; set++) {
      least[set] = new long[offset[n]];
      before[set] = new int[offset[n]];
      Arrays.fill(least[set], NEVER);
    }
    for (int set = 0; set < all; set++) {
      for (int next = 0; next < n; next++) {
        if ((set >> next & 1) == 0 && mayFollow(set, next)) {
          goOn(set, next, least, before);
        }
      }
    }
    int at = 0;
    for (int w = 0; w < offset[n]; w++) {
      at = least[all][w] < least[all][at] ? w : at;
    }
    int[] order = new int[n];
    int set = all;
    for (int place = n - 1; place >= 0; place--) {
      int sticks = owner(at);
      order[place] = sticks;
      int previous = before[set][at];
      set &= ~(1 << sticks);
      at = previous;
    }
    return order;
  }

  private int owner(int way) {
    int sticks = 0;
    while (offset[sticks + 1] <= way) {
      sticks++;
    }
    return sticks;
  }

  private boolean mayFollow(int set, int next) {
    int cut = Integer.bitCount(set);
    if (cut < first ? next != cut : next < first) {
      return false;
    }
    BitSet begun = (BitSet) parts.get(next).clone();
    BitSet unfinished = (BitSet) parts.get(next).clone();
    for (int s = 0; s < parts.size(); s++) {
      ((set >> s & 1) == 0 ? unfinished : begun).or(parts.get(s));
    }
    begun.and(unfinished);
    return begun.cardinality() <= limit;
  }

  private void goOn(int set, int next, long[][] least, int[][] before) {
    int after = set | 1 << next;
    for (int w = 0; w < ways.get(next).size(); w++) {
      StopWay way = ways.get(next).get(w);
      int to = offset[next] + w;
      if (set == 0) {
        least[after][to] = junction.weight(from, way.start()) + way.weight();
        continue;
      }
      for (int s = 0; s < ways.size(); s++) {
        for (int v = 0; (set >> s & 1) != 0 && v < ways.get(s).size(); v++) {
          long known = least[set][offset[s] + v];
          if (known < NEVER) {
            long weight =
                known + junction.weight(ways.get(s).get(v).end(), way.start()) + way.weight();
            if (weight < least[after][to]) {
              least[after][to] = weight;
              before[after][to] = offset[s] + v;
            }
          }
        }
      }
    }
  }
}
