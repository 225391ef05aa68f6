package org.kerftally.daemon.planning.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.kerftally.daemon.planning.packing.Instance;
import org.kerftally.daemon.planning.packing.StickType;
import org.kerftally.shared.stock.StickKind;

/**
 * Makes instances the way published ones were made. The instances differ from the published, since
 * the random numbers do; parameters go round with the number {@code n} of an instance.
 *
 * <p>Sources, with parameters as the published instances of a class show them:
 *
 * <ul>
 *   <li>E. Falkenauer, "A hybrid grouping genetic algorithm for bin packing", Journal of Heuristics
 *       2 (1996): uniform and triplets;
 *   <li>A. Scholl, R. Klein, C. Jürgens, "BISON: a fast hybrid procedure for exactly solving the
 *       one-dimensional bin packing problem", Computers &amp; Operations Research 24 (1997): three
 *       sets;
 *   <li>P. Schwerin, G. Wäscher, "The bin-packing problem: a problem generator and some numerical
 *       experiments with FFD packing and MTP", International Transactions in Operational Research 4
 *       (1997);
 *   <li>T. Gau, G. Wäscher, "CUTGEN1: a problem generator for the standard one-dimensional cutting
 *       stock problem", European Journal of Operational Research 84 (1995);
 *   <li>M. Delorme, M. Iori, S. Martello, "Bin packing and cutting stock problems: mathematical
 *       models and exact algorithms", European Journal of Operational Research 255 (2016): random;
 *   <li>M. Monaci, "Algorithms for packing and scheduling problems", thesis, Bologna (2002):
 *       several lengths at a cost equal to the length, each as many as would do alone.
 * </ul>
 */
final class PublishedGenerators {

  private static final int[] FALKENAUER_UNIFORM = {120, 250, 500, 1000};
  private static final int[] FALKENAUER_TRIPLETS = {60, 120, 249, 501};
  private static final int[] SCHOLL_PIECES = {50, 100, 200, 500};
  private static final int[] SCHOLL_LENGTHS = {100, 120, 150};
  private static final int[] SCHOLL_SMALLEST = {1, 20, 30};
  private static final int[] SCHOLL_MEANS = {330, 200, 140, 110};
  private static final int[] SCHOLL_SPREAD_PERCENT = {20, 50, 90};
  private static final int[] CUTGEN_ITEMS = {10, 20, 30, 40, 50};
  private static final int[] CUTGEN_LARGEST_PERCENT = {20, 40, 60, 80, 100};
  private static final int[] CUTGEN_MEAN_DEMAND = {10, 50};
  private static final int CUTGEN_LENGTH = 10_000;
  private static final int[] RANDOM_PIECES = {50, 100, 200, 300, 400, 500, 750, 1000};
  private static final int[] RANDOM_LENGTHS = {
    50, 75, 100, 120, 125, 150, 200, 300, 400, 500, 750, 1000
  };
  private static final int[] MONACI_PIECES = {25, 50, 100, 200, 500};
  private static final int[] MONACI_SMALLEST = {1, 20, 50};
  private static final long[][] MONACI_LENGTHS = {{150, 120, 100}, {150, 120, 100, 80, 60}};

  private PublishedGenerators() {}

  static Instance falkenauerUniform(SplittableRandom random, int n) {
    return uniform(random, 150, FALKENAUER_UNIFORM[n % 4], 20, 100);
  }

  /** Three pieces fill each stick to its end, so that the optimum is known. */
  static Instance falkenauerTriplets(SplittableRandom random, int n) {
    Demands demands = new Demands();
    for (int stick = 0; stick < FALKENAUER_TRIPLETS[n % 4] / 3; stick++) {
      int first = random.nextInt(350, 500);
      int second = random.nextInt(250, (1000 - first) / 2 + 1);
      demands.add(first, 1);
      demands.add(second, 1);
      demands.add(1000 - first - second, 1);
    }
    return demands.intoFewest(1000);
  }

  static Instance schollOne(SplittableRandom random, int n) {
    int length = SCHOLL_LENGTHS[n / 4 % 3];
    return uniform(random, length, SCHOLL_PIECES[n % 4], SCHOLL_SMALLEST[n / 12 % 3], 100);
  }

  static Instance schollTwo(SplittableRandom random, int n) {
    int mean = SCHOLL_MEANS[n / 4 % 4];
    double spread = SCHOLL_SPREAD_PERCENT[n / 16 % 3] / 100.0;
    int least = (int) Math.ceil(mean * (1 - spread));
    int most = (int) Math.floor(mean * (1 + spread));
    return uniform(random, 1000, SCHOLL_PIECES[n % 4], least, most);
  }

  static Instance schollThree(SplittableRandom random) {
    return uniform(random, 100_000, 200, 20_000, 35_000);
  }

  static Instance schwerin(SplittableRandom random, int pieces) {
    return uniform(random, 1000, pieces, 150, 200);
  }

  /** Sizes from a ten-thousandth of the length up; demands are shares of a total by chance. */
  static Instance cutgen(SplittableRandom random, int n) {
    int items = CUTGEN_ITEMS[n % 5];
    int largest = CUTGEN_LENGTH * CUTGEN_LARGEST_PERCENT[n / 5 % 5] / 100;
    long total = (long) items * CUTGEN_MEAN_DEMAND[n / 25 % 2];
    double[] shares = new double[items];
    double sum = 0;
    for (int i = 0; i < items; i++) {
      shares[i] = 1 - random.nextDouble();
      sum += shares[i];
    }
    Demands demands = new Demands();
    long left = total;
    for (int i = 0; i < items; i++) {
      long wanted = i == items - 1 ? left : Math.round(shares[i] / sum * total);
      wanted = Math.max(1, wanted);
      left -= wanted;
      demands.add(random.nextInt(1, largest + 1), (int) wanted);
    }
    return demands.intoFewest(CUTGEN_LENGTH);
  }

  static Instance random(SplittableRandom random, int n) {
    int length = RANDOM_LENGTHS[n / 8 % 12];
    int least = length * (1 + n / 96 % 2) / 10;
    int most = length * (7 + n / 192 % 2) / 10;
    return uniform(random, length, RANDOM_PIECES[n % 8], least, most);
  }

  static Instance monaci(SplittableRandom random, int n) {
    long[] lengths = MONACI_LENGTHS[n / 15 % 2];
    Demands demands = new Demands();
    int least = MONACI_SMALLEST[n / 5 % 3];
    for (int piece = 0; piece < MONACI_PIECES[n % 5]; piece++) {
      demands.add(random.nextInt(least, 101), 1);
    }
    List<StickType> types = new ArrayList<>();
    for (long length : lengths) {
      int number = (int) ((demands.total() + length - 1) / length);
      types.add(new StickType(length, length, number, length, StickKind.NEW));
    }
    return demands.into(types);
  }

  private static Instance uniform(
      SplittableRandom random, int length, int pieces, int least, int most) {
    Demands demands = new Demands();
    for (int piece = 0; piece < pieces; piece++) {
      demands.add(random.nextInt(least, most + 1), 1);
    }
    return demands.intoFewest(length);
  }
}
