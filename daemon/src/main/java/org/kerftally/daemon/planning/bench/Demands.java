package org.kerftally.daemon.planning.bench;

import java.util.Comparator;
import java.util.List;
import java.util.TreeMap;
import org.kerftally.daemon.planning.packing.Instance;
import org.kerftally.daemon.planning.packing.StickType;
import org.kerftally.shared.stock.StickKind;

/** Collects sizes with their demands, equal sizes merged. */
final class Demands {

  private final TreeMap<Long, Integer> bySize = new TreeMap<>(Comparator.reverseOrder());

  /** Wants so many more pieces of a size. */
  void add(long size, int pieces) {
    bySize.merge(size, pieces, Math::addExact);
  }

  /** Returns how many pieces are wanted in all, as far as an {@code int} can tell. */
  int pieces() {
    long sum = bySize.values().stream().mapToLong(Integer::longValue).sum();
    return (int) Math.min(Integer.MAX_VALUE, sum);
  }

  /** Returns the sum of all sizes. */
  long total() {
    return bySize.entrySet().stream().mapToLong(e -> e.getKey() * e.getValue()).sum();
  }

  /** Returns the problem of packing them into these sticks. */
  Instance into(List<StickType> types) {
    long[] sizes = bySize.keySet().stream().mapToLong(Long::longValue).toArray();
    int[] demands = bySize.values().stream().mapToInt(Integer::intValue).toArray();
    return Instance.of(sizes, demands, types);
  }

  /** Returns the problem of packing them into the fewest sticks of one length. */
  Instance intoFewest(long length) {
    return into(List.of(new StickType(length, length, pieces(), 1, StickKind.NEW)));
  }
}
