package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Solves the linear relaxation over the patterns known so far: a small revised simplex with an
 * explicit inverse.
 *
 * <p>Rows: one for each item wanted (at least its demand), one for each stick type in limited
 * number (at most that many). Columns: patterns, and logical ones. An artificial column on each
 * demand row, dear enough to be left as soon as anything else serves, makes a start and stands for
 * shortage.
 *
 * <p>A dive goes on with the same relaxation for less and less: {@link #restrict} lowers the sides
 * to a residue, the dual simplex mends what that broke, and patterns that can no longer be cut
 * whole become as dear as missing pieces, so that the primal simplex drives them out.
 *
 * <p>All in doubles, and for search only: nothing here is trusted. Bounds come from {@link
 * DualBound}, which takes the duals as mere proposals. Costs are divided by the dearest stick's.
 * Right-hand sides are shifted by a hair, each by another, because cutting stock is degenerate and
 * would stall; the amounts reported are those of the true sides.
 */
final class MasterLp {

  private static final double TOLERANCE = 1e-9;
  private static final double HAIR = 1e-5;
  private static final int PIVOTS_BETWEEN_INVERSIONS = 120;

  private final int[] itemRow;
  private final int[] typeRow;
  private final int rows;
  private final double costUnit;
  private final double[] trueSides;
  private final double[] hairs;
  private final double[] sides;
  private final List<LpColumn> columns = new ArrayList<>();
  private final Set<Pattern> known = new HashSet<>();
  private final List<LpColumn> basis = new ArrayList<>();
  private final BasisInverse inverse;
  private final double[] amounts;
  private final double[] duals;
  private Instance instance;
  private double artificialCost;
  private int pivotsSinceInversion;

  /**
   * Starts without patterns.
   *
   * @param artificialCost the price of a missing piece, in dearest sticks
   */
  MasterLp(Instance instance, double artificialCost) {
    this.instance = instance;
    this.artificialCost = artificialCost;
    this.costUnit = costUnit(instance);
    this.itemRow = new int[instance.itemCount()];
    this.typeRow = new int[instance.types().size()];
    Arrays.fill(itemRow, -1);
    Arrays.fill(typeRow, -1);
    int next = 0;
    for (int i = 0; i < itemRow.length; i++) {
      if (instance.demands[i] > 0) {
        itemRow[i] = next++;
      }
    }
    int items = next;
    for (int t = 0; t < typeRow.length; t++) {
      if (instance.types().get(t).available() > 0 && !instance.isUnlimited(t)) {
        typeRow[t] = next++;
      }
    }
    this.rows = next;
    this.trueSides = new double[rows];
    this.hairs = new double[rows];
    this.sides = new double[rows];
    this.inverse = new BasisInverse(rows);
    this.amounts = new double[rows];
    this.duals = new double[rows];
    addLogicals(items);
    setSides();
    reset();
  }

  /** Returns a relaxation in the same state that goes its own way. */
  MasterLp copy() {
    MasterLp copy = new MasterLp(instance, artificialCost);
    IdentityHashMap<LpColumn, LpColumn> copies = new IdentityHashMap<>();
    copy.columns.clear();
    for (LpColumn column : columns) {
      LpColumn own = column.copy();
      copies.put(column, own);
      copy.columns.add(own);
    }
    copy.basis.clear();
    basis.forEach(column -> copy.basis.add(copies.getOrDefault(column, column)));
    copy.known.addAll(known);
    copy.inverse.copyFrom(inverse);
    copy.pivotsSinceInversion = pivotsSinceInversion;
    copy.refresh();
    return copy;
  }

  /** Returns the price of a missing piece, in dearest sticks. */
  double artificialCost() {
    return artificialCost;
  }

  /** Returns what costs are divided by. */
  static double costUnit(Instance instance) {
    return Math.max(1, instance.types().stream().mapToLong(StickType::cost).max().orElse(1));
  }

  private void addLogicals(int items) {
    long state = 1;
    for (int r = 0; r < rows; r++) {
      state = state * 6364136223846793005L + 1442695040888963407L;
      hairs[r] = HAIR * (1 + (state >>> 40) / (double) (1 << 24));
      LpColumn column = LpColumn.logical(r, 1, r < items);
      columns.add(column);
      basis.add(column);
    }
    for (int r = 0; r < items; r++) {
      columns.add(LpColumn.logical(r, -1, false));
    }
  }

  private void setSides() {
    for (int i = 0; i < itemRow.length; i++) {
      if (itemRow[i] >= 0) {
        trueSides[itemRow[i]] = instance.demands[i];
      }
    }
    for (int t = 0; t < typeRow.length; t++) {
      if (typeRow[t] >= 0) {
        trueSides[typeRow[t]] = instance.types().get(t).available();
      }
    }
    for (int r = 0; r < rows; r++) {
      sides[r] = trueSides[r] + hairs[r];
    }
  }

  /** Goes back to the basis of artificials and slacks. */
  private void reset() {
    basis.forEach(column -> column.basic = false);
    for (int r = 0; r < rows; r++) {
      basis.set(r, columns.get(r));
      columns.get(r).basic = true;
    }
    inverse.reset();
    refresh();
  }

  /** Adds a pattern, unless it is known or its stick type or an item is not there; tells which. */
  boolean add(Pattern pattern) {
    if (instance.types().get(pattern.type).available() == 0 || !known.add(pattern)) {
      return false;
    }
    int extra = typeRow[pattern.type] >= 0 ? 1 : 0;
    int[] at = new int[pattern.items.length + extra];
    double[] values = new double[at.length];
    for (int n = 0; n < pattern.items.length; n++) {
      at[n] = itemRow[pattern.items[n]];
      values[n] = pattern.counts[n];
    }
    if (extra > 0) {
      at[at.length - 1] = typeRow[pattern.type];
      values[at.length - 1] = 1;
    }
    double cost = instance.types().get(pattern.type).cost() / costUnit;
    columns.add(LpColumn.of(pattern, at, values, cost));
    return true;
  }

  /** Makes missing pieces dearer by a factor. */
  void raiseArtificialCost(double factor) {
    artificialCost *= factor;
    refresh();
  }

  /**
   * Goes on with what is left of the instance.
   *
   * @return the patterns in the basis that can no longer be cut whole
   */
  List<Pattern> restrict(Remaining left, Effort effort) {
    instance = left.toInstance();
    setSides();
    refresh();
    if (!mend(effort)) {
      reset();
    }
    List<Pattern> broken = new ArrayList<>();
    for (LpColumn column : columns) {
      Pattern pattern = column.pattern;
      if (pattern != null && !column.banned && left.repeats(pattern) == 0) {
        column.banned = true;
        if (column.basic) {
          broken.add(pattern);
        }
      }
    }
    refresh();
    return broken;
  }

  /** The dual simplex: makes negative amounts good; tells whether all could be. */
  private boolean mend(Effort effort) {
    for (int pivots = 0; pivots < 2 * rows; pivots++) {
      int leaving = 0;
      for (int r = 1; r < rows; r++) {
        leaving = amounts[r] < amounts[leaving] ? r : leaving;
      }
      if (rows == 0 || amounts[leaving] >= -TOLERANCE) {
        return true;
      }
      LpColumn entering = mending(inverse.row(leaving));
      if (entering == null || effort.spend((long) rows * rows + columns.size() * 12L)) {
        return false;
      }
      exchange(entering, leaving, inverse.times(entering));
    }
    return false;
  }

  private @Nullable LpColumn mending(double[] row) {
    LpColumn best = null;
    double bestRatio = Double.POSITIVE_INFINITY;
    double bestPivot = 0;
    for (LpColumn column : columns) {
      if (column.basic || column.banned) {
        continue;
      }
      double pivot = column.times(row);
      if (pivot < -TOLERANCE) {
        double ratio = Math.max(0, reducedCost(column)) / -pivot;
        if (ratio < bestRatio - TOLERANCE
            || (ratio <= bestRatio + TOLERANCE && pivot < bestPivot)) {
          best = column;
          bestRatio = ratio;
          bestPivot = pivot;
        }
      }
    }
    return best;
  }

  /** Finds an optimum over the patterns known; tells whether it got there. */
  boolean solve(Effort effort) {
    boolean inverted = false;
    while (true) {
      LpColumn entering = entering();
      if (effort.spend((long) rows * rows + columns.size() * 6L)) {
        return false;
      }
      if (entering == null) {
        return true;
      }
      double[] direction = inverse.times(entering);
      int leaving = leaving(direction);
      boolean sound = true;
      if (leaving >= 0) {
        amounts[leaving] = Math.max(0, amounts[leaving]);
        exchange(entering, leaving, direction);
        inverted = false;
      } else {
        sound = !inverted && invert(effort);
        inverted = true;
      }
      if (sound && pivotsSinceInversion >= PIVOTS_BETWEEN_INVERSIONS + rows) {
        sound = invert(effort);
      }
      if (!sound) {
        reset();
        return false;
      }
    }
  }

  private double cost(LpColumn column) {
    return column.artificial || column.banned ? artificialCost : column.cost;
  }

  private double reducedCost(LpColumn column) {
    return cost(column) - column.times(duals);
  }

  private @Nullable LpColumn entering() {
    LpColumn best = null;
    double bestReduced = -TOLERANCE;
    for (LpColumn column : columns) {
      if (!column.basic && !column.banned) {
        double reduced = reducedCost(column);
        if (reduced < bestReduced) {
          bestReduced = reduced;
          best = column;
        }
      }
    }
    return best;
  }

  /**
   * The ratio test: among the rows that block first, within a hair, the one with the best pivot.
   */
  private int leaving(double[] direction) {
    double least = Double.POSITIVE_INFINITY;
    for (int r = 0; r < rows; r++) {
      if (direction[r] > TOLERANCE) {
        least = Math.min(least, (Math.max(0, amounts[r]) + TOLERANCE) / direction[r]);
      }
    }
    int best = -1;
    for (int r = 0; r < rows; r++) {
      if (direction[r] > TOLERANCE
          && Math.max(0, amounts[r]) / direction[r] <= least
          && (best < 0 || direction[r] > direction[best])) {
        best = r;
      }
    }
    return best;
  }

  private void exchange(LpColumn entering, int leaving, double[] direction) {
    double reduced = reducedCost(entering);
    double step = amounts[leaving] / direction[leaving];
    for (int r = 0; r < rows; r++) {
      amounts[r] -= direction[r] * step;
    }
    amounts[leaving] = step;
    inverse.exchange(leaving, direction);
    double[] row = inverse.row(leaving);
    for (int k = 0; k < rows; k++) {
      duals[k] += reduced * row[k];
    }
    basis.get(leaving).basic = false;
    entering.basic = true;
    basis.set(leaving, entering);
    pivotsSinceInversion++;
  }

  private boolean invert(Effort effort) {
    boolean done = inverse.invert(basis, effort);
    if (done) {
      pivotsSinceInversion = 0;
      refresh();
    }
    return done;
  }

  /** Computes amounts and duals from the inverse. */
  private void refresh() {
    Arrays.fill(duals, 0);
    for (int r = 0; r < rows; r++) {
      amounts[r] = inverse.times(r, sides);
      double cost = cost(basis.get(r));
      if (cost != 0) {
        double[] row = inverse.row(r);
        for (int k = 0; k < rows; k++) {
          duals[k] += cost * row[k];
        }
      }
    }
  }

  /** Returns what one more of an item would cost, at least 0, in cost units. */
  double itemDual(int item) {
    return itemRow[item] < 0 ? 0 : Math.max(0, duals[itemRow[item]]) * costUnit;
  }

  /** Returns what one more stick of a type would save, at least 0, in cost units. */
  double typeWorth(int type) {
    return typeRow[type] < 0 ? 0 : Math.max(0, -duals[typeRow[type]]) * costUnit;
  }

  /** Returns the optimum's value in cost units, missing pieces included. */
  double value() {
    double sum = 0;
    for (int r = 0; r < rows; r++) {
      sum += inverse.times(r, trueSides) * cost(basis.get(r));
    }
    return sum * costUnit;
  }

  /** Returns how many pieces, and patterns that cannot be cut whole, the optimum still needs. */
  double missing() {
    double sum = 0;
    for (int r = 0; r < rows; r++) {
      if (basis.get(r).artificial || basis.get(r).banned) {
        sum += Math.max(0, inverse.times(r, trueSides));
      }
    }
    return sum;
  }

  /** Returns the patterns in the basis with their amounts. */
  List<Amount> solution() {
    List<Amount> solution = new ArrayList<>();
    for (int r = 0; r < rows; r++) {
      Pattern pattern = basis.get(r).pattern;
      double amount = inverse.times(r, trueSides);
      if (pattern != null && !basis.get(r).banned && amount > TOLERANCE) {
        solution.add(new Amount(pattern, amount));
      }
    }
    return solution;
  }

  /** How often the relaxation cuts a pattern. */
  record Amount(Pattern pattern, double amount) {}
}
