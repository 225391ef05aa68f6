package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Prices by dynamic programming over exact sums: one table serves every stick type.
 *
 * <p>An item with demand d becomes lots of 1, 2, 4 … pieces that sum to d, each taken or not.
 * {@code heaviest[s]} is the weight of the heaviest pattern whose sizes sum to exactly s. For each
 * lot a bit per sum says whether that pattern takes the lot, which is enough to read it back.
 */
final class TablePricer implements Pricer {

  /** The most table cells worth filling at one pricing; beyond it a search is the better way. */
  private static final long MOST_CELLS = 60_000_000;

  private static final int PATTERNS_A_PRICING = 8;
  private static final long UNREACHED = -1;

  private final Instance instance;
  private final int reach;
  private final int lots;
  private final long[] heaviest;
  private final long[][] takes;
  private final int[] lotItem;
  private final int[] lotPieces;

  TablePricer(Instance instance) {
    this.instance = instance;
    this.reach = (int) instance.longestReach();
    this.lots = (int) countLots(instance);
    this.heaviest = new long[reach + 1];
    this.takes = new long[lots][];
    this.lotItem = new int[lots];
    this.lotPieces = new int[lots];
  }

  /** Tells whether the table stays small enough. */
  static boolean suits(Instance instance) {
    return cells(instance) <= MOST_CELLS;
  }

  /** Returns how many cells one pricing fills, or the largest number where there are too many. */
  static long cells(Instance instance) {
    long reach = instance.longestReach();
    return reach < MOST_CELLS ? countLots(instance) * (reach + 1) : Long.MAX_VALUE;
  }

  private static long countLots(Instance instance) {
    long lots = 0;
    long reach = instance.longestReach();
    for (int i = 0; i < instance.itemCount(); i++) {
      long most = Math.min(instance.demands[i], reach / instance.sizes[i]);
      lots += Long.SIZE - Long.numberOfLeadingZeros(most);
    }
    return lots;
  }

  @Override
  public Priced price(long[] weights, Effort effort) {
    int used = fill(weights);
    effort.spend((long) used * reach);
    List<Pattern> patterns = new ArrayList<>();
    long[] carried = new long[instance.types().size()];
    int each = Math.max(1, PATTERNS_A_PRICING / Math.max(1, carried.length));
    for (int t = 0; t < carried.length; t++) {
      StickType type = instance.types().get(t);
      for (int sum : heaviestSums(type, each)) {
        carried[t] = Math.max(carried[t], heaviest[sum]);
        if (heaviest[sum] > 0 && type.available() > 0) {
          patterns.add(readBack(t, sum, used));
        }
      }
    }
    return new Priced(new Carried(carried), patterns);
  }

  private int fill(long[] weights) {
    Arrays.fill(heaviest, UNREACHED);
    heaviest[0] = 0;
    int lot = 0;
    long top = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      long most = Math.min(instance.demands[i], reach / instance.sizes[i]);
      if (weights[i] <= 0) {
        continue;
      }
      for (long pieces = 1; most > 0; pieces *= 2) {
        long taken = Math.min(pieces, most);
        most -= taken;
        lotItem[lot] = i;
        lotPieces[lot] = (int) taken;
        top = Math.min(reach, top + taken * instance.sizes[i]);
        fillLot(lot, (int) (taken * instance.sizes[i]), taken * weights[i], (int) top);
        lot++;
      }
    }
    return lot;
  }

  private void fillLot(int lot, int size, long weight, int top) {
    long[] bits = takes[lot];
    if (bits == null) {
      bits = new long[(reach >> 6) + 1];
      takes[lot] = bits;
    } else {
      Arrays.fill(bits, 0);
    }
    for (int sum = top; sum >= size; sum--) {
      long before = heaviest[sum - size];
      if (before >= 0 && before + weight > heaviest[sum]) {
        heaviest[sum] = before + weight;
        bits[sum >> 6] |= 1L << sum;
      }
    }
  }

  /** Returns the sums that fit a type with the heaviest patterns, the heaviest first. */
  private int[] heaviestSums(StickType type, int number) {
    int[] sums = new int[number];
    int held = 0;
    for (int sum = (int) type.reach(); sum >= 0; sum--) {
      if (!type.fits(sum)
          || (held == number && heaviest[sum] <= heaviest[sums[held - 1]])
          || heaviest[sum] < 0) {
        continue;
      }
      int at = held < number ? held++ : held - 1;
      while (at > 0 && heaviest[sums[at - 1]] < heaviest[sum]) {
        sums[at] = sums[at - 1];
        at--;
      }
      sums[at] = sum;
    }
    return Arrays.copyOf(sums, held);
  }

  private Pattern readBack(int type, int sum, int used) {
    int[] dense = new int[instance.itemCount()];
    int left = sum;
    for (int lot = used - 1; lot >= 0 && left > 0; lot--) {
      if ((takes[lot][left >> 6] >> left & 1) != 0) {
        dense[lotItem[lot]] += lotPieces[lot];
        left -= (int) (lotPieces[lot] * instance.sizes[lotItem[lot]]);
      }
    }
    return Pattern.of(instance, type, dense);
  }
}
