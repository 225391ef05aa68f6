package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.Instance;
import org.kerftally.daemon.planning.packing.OffcutRule;
import org.kerftally.daemon.planning.packing.StickType;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Turns one material's parts and sticks into whole numbers and back.
 *
 * <p>A part of length p takes p + k with its kerf k. Of a stick of length L, with lead trim t and a
 * tail allowance a, the sum of these may be at most L − t − a; without a tail allowance at most L −
 * t + k where a sliver cut is allowed, else at most L − t, or exactly L − t + k when the last piece
 * ends flush. Sizes are then divided by their greatest common divisor, which no sum of them can
 * escape; capacities are rounded down to it. Costs become whole by a power of ten and are divided
 * by theirs.
 */
final class MaterialModel {

  /** The most pieces of one material. */
  static final int MOST_PIECES = 1_000_000;

  /** The largest whole number that a sum of costs or sizes may reach. */
  private static final long MOST_SUM = 1L << 55;

  private final List<Part> parts;
  private final CutRules rules;
  private final List<Length> lengths;
  private final Map<Length, Integer> itemByLength = new HashMap<>();
  private final List<List<StockItem>> itemsByType = new ArrayList<>();
  private final List<BigDecimal> costByType = new ArrayList<>();
  private final Instance instance;
  private final BigDecimal costUnit;

  /** What makes sticks alike. */
  private record Alike(Length length, StickKind kind, BigDecimal cost) {}

  MaterialModel(List<Part> parts, List<StockItem> stock, CutRules rules) {
    this.parts = List.copyOf(parts);
    this.rules = rules;
    this.lengths =
        parts.stream().map(Part::length).distinct().sorted(Comparator.reverseOrder()).toList();
    for (int i = 0; i < lengths.size(); i++) {
      itemByLength.put(lengths.get(i), i);
    }
    Map<Alike, List<StockItem>> groups = new LinkedHashMap<>();
    StickCosts costs = StickCosts.of(stock);
    for (StockItem item : stock) {
      Integer quantity = item.quantity();
      if (quantity == null || quantity > 0) {
        Alike alike = new Alike(item.length(), item.kind(), costs.cost(item));
        groups.computeIfAbsent(alike, key -> new ArrayList<>()).add(item);
      }
    }
    this.costUnit = costUnit(groups.keySet().stream().map(Alike::cost).toList());
    long unitNm = sizeUnitNm();
    List<StickType> types = new ArrayList<>();
    groups.forEach(
        (alike, items) -> {
          StickType type = type(alike, items, unitNm);
          if (type != null) {
            types.add(type);
            itemsByType.add(List.copyOf(items));
            costByType.add(alike.cost());
          }
        });
    this.instance = Instance.of(sizes(unitNm), demands(this.parts), types);
    requireSane();
  }

  private long pieces() {
    return parts.stream().mapToLong(Part::quantity).sum();
  }

  private Length takes(Length length) {
    return length.plus(rules.kerf());
  }

  private long sizeUnitNm() {
    long unit = 0;
    for (Length length : lengths) {
      unit = gcd(takes(length).nm(), unit);
    }
    return Math.max(1, unit);
  }

  private long[] sizes(long unitNm) {
    return lengths.stream().mapToLong(length -> takes(length).nm() / unitNm).toArray();
  }

  /** Returns how many of each size some of the parts want. */
  int[] demands(List<Part> some) {
    int[] demands = new int[lengths.size()];
    for (Part part : some) {
      int at = item(part);
      demands[at] = Math.addExact(demands[at], part.quantity());
    }
    return demands;
  }

  private @Nullable StickType type(Alike alike, List<StockItem> items, long unitNm) {
    Length trimmed = alike.length().minus(leadTrim(alike.kind()));
    Length capacity = trimmed;
    Length flush = trimmed;
    if (rules.tail().isPositive()) {
      capacity = trimmed.minus(rules.tail());
      flush = capacity;
    } else {
      flush = trimmed.plus(rules.kerf());
      capacity = rules.sliverCuts() ? flush : trimmed;
    }
    if (flush.isNegative()) {
      return null;
    }
    long most = sumOfSizes(unitNm);
    long whole = Math.min(most, Math.floorDiv(Math.max(0, capacity.nm()), unitNm));
    boolean flushWhole = flush.nm() % unitNm == 0 && flush.nm() / unitNm <= most;
    long flushUnits = flushWhole ? Math.max(whole, flush.nm() / unitNm) : whole;
    return new StickType(
        whole, flushUnits, available(items), wholeCost(alike.cost()), alike.kind());
  }

  private long sumOfSizes(long unitNm) {
    long sum = 0;
    for (Part part : parts) {
      sum =
          Math.addExact(
              sum, Math.multiplyExact(takes(part.length()).nm() / unitNm, (long) part.quantity()));
    }
    return sum;
  }

  private int available(List<StockItem> items) {
    long available = 0;
    for (StockItem item : items) {
      Integer quantity = item.quantity();
      available += quantity == null ? pieces() : quantity;
    }
    return (int) Math.min(available, pieces());
  }

  private long wholeCost(BigDecimal cost) {
    return cost.divide(costUnit).longValueExact();
  }

  /** Returns the greatest number that all costs are whole multiples of. */
  private static BigDecimal costUnit(List<BigDecimal> costs) {
    int scale = costs.stream().mapToInt(BigDecimal::scale).max().orElse(0);
    BigInteger unit = BigInteger.ZERO;
    for (BigDecimal cost : costs) {
      if (cost.signum() < 0 || scale > StickCosts.MOST_DECIMALS) {
        throw new UnplannableException(
            "a stick's cost must not be negative nor have more than "
                + StickCosts.MOST_DECIMALS
                + " decimals: "
                + cost.toPlainString(),
            "round the costs in the stock file");
      }
      unit = unit.gcd(cost.setScale(scale).unscaledValue());
    }
    return unit.signum() == 0 ? BigDecimal.ONE : new BigDecimal(unit, scale);
  }

  private void requireSane() {
    long dearest = instance.types().stream().mapToLong(StickType::cost).max().orElse(0);
    if (pieces() > MOST_PIECES || instance.totalSize() > MOST_SUM) {
      throw new UnplannableException(
          "too large to plan: "
              + pieces()
              + " pieces of one material, at most "
              + MOST_PIECES
              + " are planned at once",
          "split the job into several files");
    }
    if (dearest > MOST_SUM / Math.max(1, pieces())) {
      throw new UnplannableException(
          "too large to plan: the dearest stick costs "
              + dearest
              + " times the largest number that all costs are multiples of",
          "round the costs in the stock file, or split the job into several files");
    }
  }

  private static long gcd(long a, long b) {
    return b == 0 ? a : gcd(b, a % b);
  }

  Instance instance() {
    return instance;
  }

  List<Part> parts() {
    return parts;
  }

  /** Returns the item that a part of this material is. */
  int item(Part part) {
    Integer item = itemByLength.get(part.length());
    if (item == null) {
      throw new IllegalStateException("unknown length: " + part);
    }
    return item;
  }

  /** Returns the item of a length, or -1 where no part has it. */
  int itemOf(Length length) {
    return itemByLength.getOrDefault(length, -1);
  }

  /** Returns the first stick type of a length and kind, or -1 where there is none. */
  int type(Length length, StickKind kind) {
    for (int t = 0; t < itemsByType.size(); t++) {
      StockItem item = itemsByType.get(t).get(0);
      if (item.length().equals(length) && item.kind() == kind) {
        return t;
      }
    }
    return -1;
  }

  /** Returns the length of an item. */
  Length length(int item) {
    return lengths.get(item);
  }

  /** Returns the stock items behind a stick type, in the order they are used. */
  List<StockItem> items(int type) {
    return itemsByType.get(type);
  }

  /** Returns the cost of a stick of a type. */
  BigDecimal stickCost(int type) {
    return costByType.get(type);
  }

  /** Returns what remains of sticks, and what of it is worth keeping. */
  OffcutRule offcutRule() {
    List<Long> lengthsNm = new ArrayList<>();
    for (List<StockItem> items : itemsByType) {
      StockItem item = items.get(0);
      lengthsNm.add(item.length().minus(leadTrim(item.kind())).nm());
    }
    return new OffcutRule(lengthsNm, sizeUnitNm(), rules.minOffcut().nm());
  }

  /** Returns a sum of whole costs in the stock's own unit. */
  BigDecimal cost(long whole) {
    return StickCosts.plain(costUnit.multiply(BigDecimal.valueOf(whole)));
  }

  CutRules rules() {
    return rules;
  }

  /** Returns what the squaring cut takes from a stick: nothing where it was squared already. */
  Length leadTrim(StickKind kind) {
    return kind == StickKind.IN_SAW ? Length.ZERO : rules.leadTrim();
  }

  /**
   * Returns the parts by importance, the first made first: by priority, then by the day they are
   * wanted, those without one last; of equal importance in the job's order.
   */
  List<List<Part>> levels() {
    Map<Importance, List<Part>> levels = new TreeMap<>();
    for (Part part : parts) {
      Importance importance = Importance.of(part);
      levels.computeIfAbsent(importance, key -> new ArrayList<>()).add(part);
    }
    return List.copyOf(levels.values());
  }

  /** What decides which parts are left out when the stock does not suffice. */
  record Importance(int priority, @Nullable LocalDate due) implements Comparable<Importance> {

    private static final Comparator<Importance> ORDER =
        Comparator.comparingInt(Importance::priority)
            .thenComparing(Importance::due, Comparator.nullsLast(Comparator.naturalOrder()));

    static Importance of(Part part) {
      return new Importance(part.priority(), part.due());
    }

    @Override
    public int compareTo(Importance other) {
      return ORDER.compare(this, other);
    }
  }
}
