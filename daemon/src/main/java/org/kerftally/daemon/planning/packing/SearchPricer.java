package org.kerftally.daemon.planning.packing;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.List;
import java.util.stream.IntStream;
import org.kerftally.shared.stock.StickKind;

/**
 * Prices by branch and bound, for sticks too long in units for a table.
 *
 * <p>Items come by falling weight for size; a branch is cut off where filling the room that is left
 * with the next item, in parts, does not beat the best. That estimate is computed in doubles and
 * raised by more than its error. Where the node limit ends the search, what the branches left open
 * could still reach goes into the upper bound.
 *
 * <p>The patterns that were the best in their turn are handed out too, the last few of them: the
 * relaxation then needs fewer rounds.
 */
final class SearchPricer implements Pricer {

  static final long NODE_LIMIT = 100_000;

  /** How many of the patterns found in one search are handed out. */
  private static final int MOST_FOUND = 12;

  private static final double RAISE = 1 + 1e-12;

  private final Instance instance;
  private final long nodeLimit;
  private final int[] dense;
  private int[] order = new int[0];
  private long[] weights = new long[0];
  private StickType stick = new StickType(0, 0, 0, 0, StickKind.NEW);
  private final Deque<int[]> found = new ArrayDeque<>();
  private long bestWeight;
  private long upper;
  private long nodesLeft;
  private boolean complete;

  /**
   * Makes a pricer.
   *
   * @param nodeLimit how many branches the search for one stick type may look at
   */
  SearchPricer(Instance instance, long nodeLimit) {
    this.instance = instance;
    this.nodeLimit = nodeLimit;
    this.dense = new int[instance.itemCount()];
  }

  @Override
  public Priced price(long[] weights, Effort effort) {
    this.weights = weights;
    order =
        IntStream.range(0, weights.length)
            .filter(i -> weights[i] > 0 && instance.demands[i] > 0)
            .boxed()
            .sorted(Comparator.comparingDouble(i -> -(double) weights[i] / instance.sizes[i]))
            .mapToInt(Integer::intValue)
            .toArray();
    List<Pattern> patterns = new ArrayList<>();
    long[] carried = new long[instance.types().size()];
    complete = true;
    for (int t = 0; t < carried.length; t++) {
      stick = instance.types().get(t);
      found.clear();
      bestWeight = 0;
      upper = 0;
      nodesLeft = nodeLimit;
      search(0, 0, 0);
      effort.spend((nodeLimit - nodesLeft) * 20);
      carried[t] = Math.max(upper, bestWeight);
      complete &= upper <= bestWeight;
      for (int[] pattern : found) {
        if (stick.available() > 0) {
          patterns.add(Pattern.of(instance, t, pattern));
        }
      }
    }
    return new Priced(new Carried(carried), patterns);
  }

  /** Tells whether the pricing before found the heaviest patterns for sure. */
  boolean isComplete() {
    return complete;
  }

  private void search(int at, long sum, long weight) {
    if (weight > bestWeight && stick.fits(sum)) {
      bestWeight = weight;
      if (found.size() == MOST_FOUND) {
        found.removeLast();
      }
      found.addFirst(dense.clone());
    }
    if (at == order.length || sum == stick.reach()) {
      return;
    }
    int item = order[at];
    long room = stick.reach() - sum;
    long reachable = weight + estimate(room, item);
    if (reachable <= bestWeight) {
      return;
    }
    if (--nodesLeft < 0) {
      upper = Math.max(upper, reachable);
      return;
    }
    long most = Math.min(instance.demands[item], room / instance.sizes[item]);
    for (int count = (int) most; count >= 0; count--) {
      dense[item] = count;
      search(at + 1, sum + count * instance.sizes[item], weight + count * weights[item]);
    }
    dense[item] = 0;
  }

  private long estimate(long room, int item) {
    double share = (double) room / instance.sizes[item];
    return (long) Math.ceil(share * weights[item] * RAISE) + 1;
  }
}
