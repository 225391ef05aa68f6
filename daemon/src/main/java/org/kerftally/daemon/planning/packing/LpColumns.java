package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;
import java.util.function.ToIntFunction;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.lp.Simplex;

/**
 * Knows what each column of a node's relaxation stands for: a pattern, each at most once, or what
 * is missing in a row, which keeps the relaxation solvable whatever patterns there are.
 */
final class LpColumns {

  private static final double TOLERANCE = 1e-7;

  private final Simplex lp;

  /** The pattern of a column, or {@code null} where it stands for what is missing. */
  private final List<@Nullable BlockPattern> patterns;

  /** What a missing piece costs, by the column that stands for it; else nothing. */
  private final List<Double> missingCosts;

  private final Set<BlockPattern> known;

  LpColumns(Simplex lp) {
    this.lp = lp;
    this.patterns = new ArrayList<>();
    this.missingCosts = new ArrayList<>();
    this.known = new HashSet<>();
  }

  /** Copies what another relaxation's columns stand for onto a copy of its simplex. */
  LpColumns(Simplex lp, LpColumns other) {
    this.lp = lp;
    this.patterns = new ArrayList<>(other.patterns);
    this.missingCosts = new ArrayList<>(other.missingCosts);
    this.known = new HashSet<>(other.known);
  }

  /** Says in which columns a row has entries, and which. */
  static final class Entries {
    final int[] columns;
    final double[] values;

    private Entries(int[] columns, double[] values) {
      this.columns = columns;
      this.values = values;
    }
  }

  int size() {
    return patterns.size();
  }

  /** Returns a column's pattern, or {@code null} where it stands for what is missing. */
  @Nullable BlockPattern get(int column) {
    return patterns.get(column);
  }

  /** Notes a pattern; tells whether it was not known. */
  boolean isNew(BlockPattern pattern) {
    return known.add(pattern);
  }

  void add(BlockPattern pattern, double cost, int[] rows, double[] values) {
    lp.addColumn(cost, rows, values);
    patterns.add(pattern);
    missingCosts.add(0.0);
  }

  void addMissing(int row, double cost) {
    lp.addColumn(cost, new int[] {row}, new double[] {1});
    patterns.add(null);
    missingCosts.add(cost);
  }

  /** Returns the entries of a row in which every pattern has this coefficient. */
  Entries entries(ToIntFunction<BlockPattern> coefficient) {
    int[] columns = new int[patterns.size()];
    double[] values = new double[patterns.size()];
    int used = 0;
    for (int n = 0; n < patterns.size(); n++) {
      BlockPattern pattern = patterns.get(n);
      int value = pattern == null ? 0 : coefficient.applyAsInt(pattern);
      if (value > 0) {
        columns[used] = n;
        values[used++] = value;
      }
    }
    return new Entries(Arrays.copyOf(columns, used), Arrays.copyOf(values, used));
  }

  /** Forbids all patterns that are not allowed. */
  void forbidUnless(Predicate<BlockPattern> allowed) {
    for (int n = 0; n < patterns.size(); n++) {
      BlockPattern pattern = patterns.get(n);
      if (pattern != null && !lp.isForbidden(n) && !allowed.test(pattern)) {
        lp.setForbidden(n, true);
      }
    }
  }

  /** Returns how many pieces are missing. */
  double missing() {
    double sum = 0;
    for (int n = 0; n < patterns.size(); n++) {
      if (patterns.get(n) == null) {
        sum += lp.amount(n);
      }
    }
    return sum;
  }

  /** Makes what is missing so many times as dear. */
  void dearer(double times) {
    for (int n = 0; n < patterns.size(); n++) {
      if (patterns.get(n) == null) {
        missingCosts.set(n, missingCosts.get(n) * times);
        lp.setCost(n, missingCosts.get(n));
      }
    }
  }

  /**
   * Forgets the dearer half of the patterns that are not in the basis, and all that are forbidden
   * there.
   */
  void forgetHalf(ToDoubleFunction<BlockPattern> reducedCost) {
    int[] moved = new int[patterns.size()];
    double[] worth = new double[patterns.size()];
    double[] costs = new double[patterns.size()];
    int counted = 0;
    for (int n = 0; n < patterns.size(); n++) {
      BlockPattern pattern = patterns.get(n);
      worth[n] = pattern == null || lp.isBasic(n) ? -1 : reducedCost.applyAsDouble(pattern);
      if (pattern != null && !lp.isBasic(n) && lp.isForbidden(n)) {
        worth[n] = Double.MAX_VALUE;
      }
      if (worth[n] >= 0) {
        costs[counted++] = worth[n];
      }
    }
    Arrays.sort(costs, 0, counted);
    double limit = costs[counted / 2];
    lp.removeColumns(n -> worth[n] > limit, moved);
    List<@Nullable BlockPattern> kept = new ArrayList<>();
    List<Double> keptCosts = new ArrayList<>();
    for (int n = 0; n < moved.length; n++) {
      BlockPattern pattern = patterns.get(n);
      if (moved[n] >= 0) {
        kept.add(pattern);
        keptCosts.add(missingCosts.get(n));
      } else if (pattern != null) {
        known.remove(pattern);
      }
    }
    patterns.clear();
    patterns.addAll(kept);
    missingCosts.clear();
    missingCosts.addAll(keptCosts);
  }

  /** Returns the patterns that are cut. */
  List<NodeLp.Amount> solution() {
    List<NodeLp.Amount> solution = new ArrayList<>();
    for (int n = 0; n < patterns.size(); n++) {
      BlockPattern pattern = patterns.get(n);
      double amount = lp.amount(n);
      if (pattern != null && amount > TOLERANCE) {
        solution.add(new NodeLp.Amount(pattern, amount));
      }
    }
    return solution;
  }
}
