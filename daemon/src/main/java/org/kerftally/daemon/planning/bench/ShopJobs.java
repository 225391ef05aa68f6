package org.kerftally.daemon.planning.bench;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Makes jobs as a small workshop has them: a dozen to forty lengths, one to twenty of each, from
 * one stock length, from three with prices out of proportion, or from a rack of offcuts.
 */
final class ShopJobs {

  private static final String MATERIAL = "stock";
  private static final int[] LENGTHS = {12, 40};
  private static final int MOST_OF_A_PART = 20;
  private static final long NM_PER_SIXTEENTH = 1_587_500;
  private static final int[] STICKS_MM = {2400, 3000, 4000, 6000};
  private static final int[] STICKS_INCH = {96, 120, 144, 192};

  private ShopJobs() {}

  /** One stock length, as many as needed, in millimetres with a kerf of 3 mm. */
  static PlanRequest single(SplittableRandom random, int n) {
    List<StockItem> stock = new ArrayList<>();
    stock.add(sticks(STICKS_MM[random.nextInt(4)], null, 1));
    return request(parts(random, n, 150, 2200, Length.ofMm(1).nm()), stock, Length.ofMm(3));
  }

  /** The same in sixteenths of an inch with a kerf of an eighth. */
  static PlanRequest inch(SplittableRandom random, int n) {
    Length length = Length.ofNm(STICKS_INCH[random.nextInt(4)] * 16L * NM_PER_SIXTEENTH);
    List<StockItem> stock =
        List.of(new StockItem(MATERIAL, length, null, BigDecimal.ONE, StickKind.NEW, null));
    Length kerf = Length.ofNm(2 * NM_PER_SIXTEENTH);
    return request(parts(random, n, 64, 960, NM_PER_SIXTEENTH), stock, kerf);
  }

  /** Three stock lengths at odd prices, two of them in limited number. */
  static PlanRequest multi(SplittableRandom random, int n) {
    List<StockItem> stock = new ArrayList<>();
    stock.add(sticks(2400, null, random.nextInt(240, 271)));
    stock.add(sticks(3600, random.nextInt(3, 13), random.nextInt(330, 361)));
    stock.add(sticks(4800, random.nextInt(3, 13), random.nextInt(440, 501)));
    return request(parts(random, n, 150, 2200, Length.ofMm(1).nm()), stock, Length.ofMm(3));
  }

  /** One new length and a rack of offcuts at a tenth of their share of its price. */
  static PlanRequest offcut(SplittableRandom random, int n) {
    List<StockItem> stock = new ArrayList<>();
    stock.add(sticks(3000, null, 300));
    int offcuts = random.nextInt(5, 26);
    for (int k = 1; k <= offcuts; k++) {
      int lengthMm = random.nextInt(400, 2401);
      BigDecimal cost = BigDecimal.valueOf(Math.max(1, lengthMm / 100));
      Length length = Length.ofMm(lengthMm);
      stock.add(new StockItem(MATERIAL, length, 1, cost, StickKind.OFFCUT, "R" + k));
    }
    return request(parts(random, n, 150, 2200, Length.ofMm(1).nm()), stock, Length.ofMm(3));
  }

  private static StockItem sticks(int lengthMm, @Nullable Integer number, int cost) {
    return new StockItem(
        MATERIAL, Length.ofMm(lengthMm), number, BigDecimal.valueOf(cost), StickKind.NEW, null);
  }

  private static List<Part> parts(
      SplittableRandom random, int n, int least, int most, long unitNm) {
    int below = random.nextInt(5) < 2 ? most / 2 : most;
    TreeSet<Integer> lengths = new TreeSet<>();
    while (lengths.size() < LENGTHS[n % 2]) {
      lengths.add(random.nextInt(least, below));
    }
    List<Part> parts = new ArrayList<>();
    for (int units : lengths.descendingSet()) {
      int wanted = random.nextInt(1, MOST_OF_A_PART + 1);
      Length length = Length.ofNm(units * unitNm);
      parts.add(new Part("p" + (parts.size() + 1), length, wanted, MATERIAL, 1, null));
    }
    return parts;
  }

  private static PlanRequest request(List<Part> parts, List<StockItem> stock, Length kerf) {
    CutRules rules = new CutRules(kerf, Length.ZERO, Length.ZERO, Length.ofMm(300), true);
    return new PlanRequest(parts, stock, Map.of(), rules);
  }
}
