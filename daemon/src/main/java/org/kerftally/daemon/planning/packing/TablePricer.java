package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Prices by dynamic programming over exact sums: one table serves every stick type.
 *
 * <p>An item with demand d becomes lots of 1, 2, 4 … pieces that sum to d, each taken or not, the
 * small sizes first. {@code heaviest[s]} is the weight of the heaviest pattern whose sizes sum to
 * exactly s. For each lot a bit per sum says whether that pattern takes the lot, which is enough to
 * read it back.
 *
 * <p>Items larger than half of the longest stick stay out of the table: no pattern takes two of
 * them, so each is simply put beside the heaviest filling of the room it leaves. That saves their
 * lots' work and gives a pattern for each of them at once. Of the others, with one stick type, the
 * heaviest pattern for every lot as its last is kept in mind while filling. Patterns that differ in
 * their largest piece teach the relaxation more at once than the few heaviest, which are alike. And
 * since every pattern is then found at its last lot, the table itself need only hold sums beside
 * which one more piece, no smaller than the lot's, still fits.
 */
final class TablePricer implements Pricer {

  /** The most table cells worth filling at one pricing; beyond it a search is the better way. */
  private static final long MOST_CELLS = 60_000_000;

  private static final int HEAVIEST_SUMS = 8;
  private static final int PATTERNS_A_PRICING = 60;
  private static final long UNREACHED = -1;

  private final Instance instance;
  private final int reach;
  private final boolean oneType;
  private final long[] heaviest;

  /** By sum, the sum up to it with the heaviest pattern. */
  private final int[] fullest;

  private final long[][] takes;
  private final int[] lotItem;
  private final int[] lotPieces;
  private final int[] lotRest;
  private final long[] lotWeight;
  private int lots;
  private int offerCount;
  private final Offer[] offers = new Offer[PATTERNS_A_PRICING];

  /**
   * Describes a pattern without reading it back.
   *
   * @param item one piece that is not in the table, or -1
   * @param lot the lot taken last, or -1 for whatever the sum says
   * @param rest the sum of the other pieces
   * @param lotsBefore the lots those are from
   */
  private record Offer(long weight, int item, int lot, int rest, int lotsBefore) {}

  TablePricer(Instance instance) {
    this.instance = instance;
    this.reach = (int) instance.longestReach();
    this.oneType =
        instance.types().size() == 1
            && instance.types().get(0).capacity() == instance.types().get(0).flush();
    this.heaviest = new long[reach + 1];
    this.fullest = new int[reach + 1];
    int most = (int) countLots(instance);
    this.takes = new long[most][];
    this.lotItem = new int[most];
    this.lotPieces = new int[most];
    this.lotRest = new int[most];
    this.lotWeight = new long[most];
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
      if (!isLarge(instance.sizes[i], reach)) {
        long most = Math.min(instance.demands[i], reach / instance.sizes[i]);
        lots += Long.SIZE - Long.numberOfLeadingZeros(most);
      }
    }
    return lots;
  }

  private static boolean isLarge(long size, long reach) {
    return size > reach - size;
  }

  @Override
  public Priced price(long[] weights, Effort effort) {
    fill(weights);
    effort.spend((long) lots * reach + instance.itemCount() + reach);
    List<Pattern> patterns = new ArrayList<>();
    long[] carried = new long[instance.types().size()];
    int most = Math.max(1, PATTERNS_A_PRICING / Math.max(1, carried.length));
    int sums = Math.max(1, HEAVIEST_SUMS / Math.max(1, carried.length));
    for (int t = 0; t < carried.length; t++) {
      StickType type = instance.types().get(t);
      collect(type, weights, sums, most);
      carried[t] = offerCount == 0 ? 0 : offers[0].weight;
      for (int n = 0; n < offerCount && type.available() > 0; n++) {
        patterns.add(readBack(t, offers[n]));
      }
    }
    return new Priced(new Carried(carried), patterns);
  }

  private void fill(long[] weights) {
    Arrays.fill(heaviest, UNREACHED);
    heaviest[0] = 0;
    lots = 0;
    int top = 0;
    for (int i = instance.itemCount() - 1; i >= 0; i--) {
      long size = instance.sizes[i];
      if (weights[i] <= 0 || isLarge(size, reach)) {
        continue;
      }
      long most = Math.min(instance.demands[i], reach / size);
      for (long pieces = 1; most > 0; pieces *= 2) {
        long taken = Math.min(pieces, most);
        most -= taken;
        lotItem[lots] = i;
        lotPieces[lots] = (int) taken;
        top = fillLot((int) (taken * size), taken * weights[i], top, beside((int) size));
        lots++;
      }
    }
    for (int sum = 1; sum <= reach; sum++) {
      fullest[sum] = heaviest[sum] > heaviest[fullest[sum - 1]] ? sum : fullest[sum - 1];
    }
  }

  /** Returns the largest sum of use to lots of at least this size. */
  private int beside(int size) {
    return oneType ? reach - size : reach;
  }

  /**
   * Offers one more lot to all sums.
   *
   * @param top the largest sum in the table
   * @param highest the largest sum worth adding
   * @return the largest sum in the table now
   */
  private int fillLot(int size, long weight, int top, int highest) {
    long[] bits = takes[lots];
    if (bits == null) {
      bits = new long[(reach >> 6) + 1];
      takes[lots] = bits;
    } else {
      Arrays.fill(bits, 0);
    }
    long most = UNREACHED;
    int rest = 0;
    int before = Math.min(top, reach - size);
    for (; before > highest - size && before >= 0; before--) {
      if (heaviest[before] > most) {
        most = heaviest[before];
        rest = before;
      }
    }
    int after = Math.max(top, before + size);
    for (; before >= 0; before--) {
      long held = heaviest[before];
      if (held > most) {
        most = held;
        rest = before;
      }
      int sum = before + size;
      if (held >= 0 && held + weight > heaviest[sum]) {
        heaviest[sum] = held + weight;
        bits[sum >> 6] |= 1L << sum;
      }
    }
    lotRest[lots] = rest;
    lotWeight[lots] = most < 0 ? UNREACHED : most + weight;
    return after;
  }

  /** Collects the heaviest patterns of a type, the heaviest first. */
  private void collect(StickType type, long[] weights, int sums, int most) {
    offerCount = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      long size = instance.sizes[i];
      if (!isLarge(size, reach)) {
        break;
      }
      if (weights[i] > 0 && instance.demands[i] > 0 && size <= type.reach()) {
        int rest = bestRest(type, size);
        if (rest >= 0) {
          offer(new Offer(weights[i] + heaviest[rest], i, -1, rest, lots), most);
        }
      }
    }
    for (int lot = 0; oneType && lot < lots; lot++) {
      if (lotWeight[lot] > 0) {
        offer(new Offer(lotWeight[lot], -1, lot, lotRest[lot], lot), most);
      }
    }
    for (int sum : heaviestSums(type, sums)) {
      if (heaviest[sum] > 0) {
        offer(new Offer(heaviest[sum], -1, -1, sum, lots), most);
      }
    }
  }

  /** Returns the sum of the heaviest filling beside a piece, or -1 where none fits. */
  private int bestRest(StickType type, long size) {
    long room = type.capacity() - size;
    int rest = room < 0 ? -1 : fullest[(int) room];
    int exact = (int) (type.flush() - size);
    if (heaviest[exact] >= 0 && (rest < 0 || heaviest[exact] > heaviest[rest])) {
      rest = exact;
    }
    return rest;
  }

  private void offer(Offer offer, int most) {
    if (offerCount == most && offer.weight <= offers[most - 1].weight) {
      return;
    }
    int at = offerCount < most ? offerCount++ : most - 1;
    while (at > 0 && offers[at - 1].weight < offer.weight) {
      offers[at] = offers[at - 1];
      at--;
    }
    offers[at] = offer;
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

  private Pattern readBack(int type, Offer offer) {
    int[] dense = new int[instance.itemCount()];
    if (offer.item >= 0) {
      dense[offer.item]++;
    }
    if (offer.lot >= 0) {
      dense[lotItem[offer.lot]] += lotPieces[offer.lot];
    }
    int left = offer.rest;
    for (int lot = offer.lotsBefore - 1; lot >= 0 && left > 0; lot--) {
      if ((takes[lot][left >> 6] >> left & 1) != 0) {
        dense[lotItem[lot]] += lotPieces[lot];
        left -= (int) (lotPieces[lot] * instance.sizes[lotItem[lot]]);
      }
    }
    return Pattern.of(instance, type, dense);
  }
}
