package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * Finds heavy patterns of blocks: exact pricing under exclusions, subset rows and a limit on waste.
 *
 * <p>A depth first search over the blocks by falling size, cut off by a table: {@code table[j][r]}
 * is the most that blocks from the j-th on can weigh in room r, exclusions and penalties left out.
 * Where nothing is excluded the table leads straight to the optimum. Two further cuts come for
 * nothing from the table's last row and from a second table:
 *
 * <ul>
 *   <li>all sticks together have some slack beyond the pieces, and no stick may waste more than
 *       that: a room larger than the slack cannot be an end;
 *   <li>a {@link Weighting} that all packings obey leaves some slack too, and no stick may carry
 *       less than its most by more than that.
 * </ul>
 *
 * <p>The tables are {@link RoomTable}s: where rooms are too many they are looked up on a coarser
 * grid, and the search above stays exact. One search a block that leads it gives many unlike
 * patterns at one pricing.
 *
 * <p>Reusable while the blocks stay the same; not thread-safe.
 */
final class BlockPricer {

  private static final long NODE_LIMIT = 300_000;

  private static final long NO_NEED = Long.MIN_VALUE / 4;

  /** States a limit: no stick may carry less of some weight than its most by more than a slack. */
  static final class Limit {
    private final long[] weights;
    private final long[] most;
    private final long slack;

    /**
     * States a limit.
     *
     * @param weights by item
     * @param most by stick type, what one carries at the most
     * @param slack what all sticks together carry more than is wanted, at least 0
     */
    Limit(long[] weights, long[] most, long slack) {
      this.weights = weights.clone();
      this.most = most.clone();
      this.slack = slack;
    }
  }

  /**
   * States a subset row's price.
   *
   * @param row the inequality
   * @param weight what each unit of its left-hand side costs, at least 0
   */
  record Penalty(SubsetRow row, long weight) {}

  /** Says what was found. */
  static final class Priced {
    private final long[] carried;
    private final List<BlockPattern> patterns;

    private Priced(long[] carried, List<BlockPattern> patterns) {
      this.carried = carried;
      this.patterns = patterns;
    }

    /**
     * Returns by stick type a safe upper bound on the weight less penalties of every pattern, at
     * least the bar that was given.
     */
    long[] carried() {
      return carried;
    }

    /** Returns patterns above the bar, those by far the first. */
    List<BlockPattern> patterns() {
      return patterns;
    }
  }

  private record Found(BlockPattern pattern, double gain) {}

  private final Blocks blocks;
  private final List<StickType> types;
  private final long wasteLimit;
  private final @Nullable Limit limit;
  private final int[] order;
  private final long[] sizes;
  private final int[] demands;
  private final boolean[] alone;
  private final RoomTable table;
  private final RoomTable limitTable;
  private final long[] limitWeights;
  private final long[] weights;
  private final int[] taken;
  private final int[] bestTaken;
  private final int[] blocked;
  private final int[][] excluded;
  private PenaltyCount penalty;
  private StickType stick;
  private long need;
  private long best;
  private long upper;
  private long nodesLeft;

  /**
   * Prepares for the blocks of one node.
   *
   * @param wasteLimit the most that one stick may waste
   * @param limit another limit, or {@code null}
   */
  BlockPricer(Blocks blocks, long wasteLimit, @Nullable Limit limit) {
    this.blocks = blocks;
    this.types = blocks.instance().types();
    this.wasteLimit = wasteLimit;
    this.limit = limit;
    this.stick = types.get(0);
    long reach = 0;
    for (StickType type : types) {
      reach = type.available() > 0 ? Math.max(reach, type.reach()) : reach;
    }
    long most = reach;
    this.order =
        IntStream.range(0, blocks.count())
            .filter(b -> blocks.demand(b) > 0 && blocks.size(b) <= most)
            .boxed()
            .sorted(Comparator.comparingLong(b -> -blocks.size(b)))
            .mapToInt(Integer::intValue)
            .toArray();
    int n = order.length;
    this.sizes = new long[n];
    this.demands = new int[n];
    this.alone = new boolean[n];
    this.excluded = new int[n][];
    int[] position = new int[blocks.count()];
    Arrays.fill(position, -1);
    for (int j = 0; j < n; j++) {
      position[order[j]] = j;
    }
    for (int j = 0; j < n; j++) {
      int block = order[j];
      sizes[j] = blocks.size(block);
      alone[j] = blocks.excludes(block, block);
      demands[j] = alone[j] ? 1 : (int) Math.min(blocks.demand(block), reach / sizes[j]);
      excluded[j] = IntStream.range(0, n).filter(k -> blocks.excludes(block, order[k])).toArray();
    }
    this.table = new RoomTable(sizes, demands, reach, wasteLimit);
    this.weights = new long[n];
    this.limitWeights = new long[n];
    this.taken = new int[n];
    this.bestTaken = new int[n];
    this.blocked = new int[n];
    this.penalty = new PenaltyCount(blocks, order, List.of());
    this.limitTable = limit == null ? table : new RoomTable(sizes, demands, reach, wasteLimit);
    if (limit != null) {
      for (int j = 0; j < n; j++) {
        for (int item : blocks.content(order[j])) {
          limitWeights[j] += limit.weights[item];
        }
      }
      limitTable.fill(limitWeights);
    }
  }

  /**
   * Prices every stick type there is.
   *
   * @param prices by block, at least 0
   * @param penalties the subset rows with their prices
   * @param bars by stick type, what a pattern must exceed to be of use
   * @param most how many patterns to give
   */
  Priced price(long[] prices, List<Penalty> penalties, long[] bars, int most, Effort effort) {
    int n = order.length;
    for (int j = 0; j < n; j++) {
      weights[j] = prices[order[j]];
    }
    effort.spend(table.fill(weights) * 2);
    penalty = new PenaltyCount(blocks, order, penalties);
    List<Found> found = new ArrayList<>();
    long[] carried = bars.clone();
    for (int t = 0; t < types.size(); t++) {
      stick = types.get(t);
      if (stick.available() == 0) {
        continue;
      }
      need = limit == null ? NO_NEED : limit.most[t] - limit.slack;
      upper = bars[t];
      nodesLeft = NODE_LIMIT;
      for (int lead = 0; lead < n; lead++) {
        long before = nodesLeft;
        leadBy(lead, t, bars[t], found);
        if (effort.spend((before - nodesLeft) * 10 + 5)) {
          upper = Math.max(upper, table.most(0, stick.reach()));
          break;
        }
      }
      carried[t] = Math.max(carried[t], upper);
    }
    found.sort(Comparator.comparingDouble(f -> -f.gain()));
    List<BlockPattern> patterns = new ArrayList<>();
    for (int k = 0; k < Math.min(most, found.size()); k++) {
      patterns.add(found.get(k).pattern());
    }
    return new Priced(carried, patterns);
  }

  private void leadBy(int lead, int type, long bar, List<Found> found) {
    if (sizes[lead] > stick.reach()) {
      return;
    }
    best = bar;
    long before = upper;
    take(lead, stick.reach(), 0, 0);
    if (best > bar) {
      int[] dense = new int[blocks.count()];
      for (int j = 0; j < order.length; j++) {
        dense[order[j]] = bestTaken[j];
      }
      found.add(new Found(BlockPattern.ofDense(type, dense), (double) (best - bar)));
      upper = Math.max(before, Math.max(upper, best));
    }
  }

  private void search(int from, long room, long value, long carried) {
    if (value > best && room <= wasteLimit && carried >= need && stick.fits(stick.reach() - room)) {
      best = value;
      System.arraycopy(taken, 0, bestTaken, 0, taken.length);
    }
    for (int j = from; j < order.length; j++) {
      long reachable = value + table.most(j, room);
      if (reachable <= best || carriesTooLittle(j, room, carried)) {
        return;
      }
      if (sizes[j] > room || blocked[j] > 0) {
        continue;
      }
      if (nodesLeft-- <= 0) {
        upper = Math.max(upper, reachable);
        return;
      }
      take(j, room, value, carried);
    }
  }

  /** Tries every number of a block, the most first, but not none. */
  private void take(int j, long room, long value, long carried) {
    int most = (int) Math.min(demands[j], room / sizes[j]);
    for (int k : excluded[j]) {
      blocked[k]++;
    }
    for (int times = most; times > 0; times--) {
      long left = room - times * sizes[j];
      long more = value + times * weights[j];
      long carriedThen = carried + times * limitWeights[j];
      if (more + table.most(j + 1, left) <= best || carriesTooLittle(j + 1, left, carriedThen)) {
        continue;
      }
      taken[j] = times;
      search(j + 1, left, more - penalty.take(j, times), carriedThen);
      penalty.putBack(j, times);
    }
    taken[j] = 0;
    for (int k : excluded[j]) {
      blocked[k]--;
    }
  }

  private boolean carriesTooLittle(int from, long room, long carried) {
    return need > NO_NEED && carried + limitTable.most(from, room) < need;
  }
}
