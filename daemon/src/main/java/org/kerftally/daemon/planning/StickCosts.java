package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Gives every stick of one material its cost.
 *
 * <p>A cost that is stated stands. A blank one is proportional to length, at the lowest cost per
 * length of the new sticks that state one, rounded half to even to six decimals; where none does,
 * at one unit per millimetre. Where no cost is stated at all and the sticks have one length only,
 * each costs 1, so that costs count sticks. The stick in the saw costs nothing unless stated.
 */
final class StickCosts {

  /** Decimals of a computed cost, and the most of a stated one. */
  static final int MOST_DECIMALS = 6;

  /**
   * What an offcut is worth of the price of new stock: half, since it takes room and labels, and
   * may never find its part. Chosen, not measured.
   */
  static final BigDecimal OFFCUT_SHARE = new BigDecimal("0.5");

  private final boolean countsSticks;
  private final @Nullable StockItem cheapest;

  private StickCosts(boolean countsSticks, @Nullable StockItem cheapest) {
    this.countsSticks = countsSticks;
    this.cheapest = cheapest;
  }

  /** Learns the rates from all sticks of one material. */
  static StickCosts of(List<StockItem> items) {
    List<StockItem> racked =
        items.stream().filter(item -> item.kind() != StickKind.IN_SAW).toList();
    boolean none = racked.stream().allMatch(item -> item.cost() == null);
    long lengths = racked.stream().map(StockItem::length).distinct().count();
    StockItem cheapest = null;
    for (StockItem item : racked) {
      if (item.kind() == StickKind.NEW && item.cost() != null) {
        cheapest = cheapest == null || isCheaper(item, cheapest) ? item : cheapest;
      }
    }
    return new StickCosts(none && lengths == 1, cheapest);
  }

  private static boolean isCheaper(StockItem one, StockItem other) {
    BigDecimal left = stated(one).multiply(other.length().toMm());
    return left.compareTo(stated(other).multiply(one.length().toMm())) < 0;
  }

  /** Returns the cost of one stick, a whole number without decimals. */
  BigDecimal cost(StockItem item) {
    BigDecimal stated = item.cost();
    if (stated != null) {
      return plain(stated);
    }
    if (item.kind() == StickKind.IN_SAW) {
      return BigDecimal.ZERO;
    }
    if (countsSticks) {
      return BigDecimal.ONE;
    }
    BigDecimal lengthMm = item.length().toMm();
    if (cheapest == null) {
      return plain(lengthMm);
    }
    return plain(
        stated(cheapest)
            .multiply(lengthMm)
            .divide(cheapest.length().toMm(), MOST_DECIMALS, RoundingMode.HALF_EVEN));
  }

  /**
   * Returns what an offcut of a length is worth: {@link #OFFCUT_SHARE} of the lowest cost per
   * length of the new sticks, or of all where there are no new ones; 0 where nothing has a cost.
   */
  static BigDecimal offcutValue(List<StockItem> items, Length length) {
    StickCosts costs = of(items);
    boolean anyNew = items.stream().anyMatch(item -> item.kind() == StickKind.NEW);
    BigDecimal least = null;
    for (StockItem item : items) {
      boolean counts = anyNew ? item.kind() == StickKind.NEW : item.kind() != StickKind.IN_SAW;
      if (counts && item.length().isPositive()) {
        BigDecimal cost = costs.cost(item).multiply(length.toMm()).multiply(OFFCUT_SHARE);
        BigDecimal value = cost.divide(item.length().toMm(), MOST_DECIMALS, RoundingMode.HALF_EVEN);
        least = least == null ? value : least.min(value);
      }
    }
    return least == null ? BigDecimal.ZERO : plain(least);
  }

  private static BigDecimal stated(StockItem item) {
    BigDecimal cost = item.cost();
    if (cost == null) {
      throw new IllegalStateException("no cost stated: " + item);
    }
    return cost;
  }

  /** Returns the same number without trailing zeros, and without an exponent. */
  static BigDecimal plain(BigDecimal number) {
    BigDecimal stripped = number.stripTrailingZeros();
    return stripped.scale() < 0 ? stripped.setScale(0) : stripped;
  }
}
