package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * Solves the linear relaxation over the patterns known so far: a small revised simplex with an
 * explicit inverse.
 *
 * <p>Rows: one for each item wanted (at least its demand), one for each stick type in limited
 * number (at most that many). Columns: patterns, and logical ones. An artificial column on each
 * demand row, dear enough to be left as soon as anything else serves, makes a start and stands for
 * shortage.
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

  private final Instance instance;
  private final int[] itemRow;
  private final int[] typeRow;
  private final int rows;
  private final double costUnit;
  private final double[] trueSides;
  private final double[] sides;
  private final List<Column> columns = new ArrayList<>();
  private final List<Pattern> patterns = new ArrayList<>();
  private final Set<Pattern> known = new HashSet<>();
  private final int[] basis;
  private final double[][] inverse;
  private final double[] amounts;
  private final double[] duals;
  private double artificialCost;
  private int pivotsSinceInversion;

  /** A column: its entries by row, its cost, and its pattern's index or -1. */
  private static final class Column {
    final int[] rows;
    final double[] values;
    final double cost;
    final int pattern;
    final boolean artificial;
    boolean basic;

    Column(int[] rows, double[] values, double cost, int pattern, boolean artificial) {
      this.rows = rows;
      this.values = values;
      this.cost = cost;
      this.pattern = pattern;
      this.artificial = artificial;
    }
  }

  /**
   * Starts without patterns.
   *
   * @param artificialCost the price of a missing piece, in dearest sticks
   */
  MasterLp(Instance instance, double artificialCost) {
    this.instance = instance;
    this.artificialCost = artificialCost;
    this.costUnit =
        Math.max(1, instance.types().stream().mapToLong(StickType::cost).max().orElse(1));
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
    this.sides = new double[rows];
    this.basis = new int[rows];
    this.inverse = new double[rows][rows];
    this.amounts = new double[rows];
    this.duals = new double[rows];
    addLogicals(items);
    reset();
  }

  private void addLogicals(int items) {
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
    long state = 1;
    for (int r = 0; r < rows; r++) {
      state = state * 6364136223846793005L + 1442695040888963407L;
      sides[r] = trueSides[r] + HAIR * (1 + (state >>> 40) / (double) (1 << 24));
      columns.add(new Column(new int[] {r}, new double[] {1}, 0, -1, r < items));
    }
    for (int r = 0; r < items; r++) {
      columns.add(new Column(new int[] {r}, new double[] {-1}, 0, -1, false));
    }
  }

  /** Goes back to the basis of artificials and slacks. */
  private void reset() {
    for (Column column : columns) {
      column.basic = false;
    }
    for (int r = 0; r < rows; r++) {
      basis[r] = r;
      columns.get(r).basic = true;
      Arrays.fill(inverse[r], 0);
      inverse[r][r] = 1;
    }
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
    columns.add(new Column(at, values, cost, patterns.size(), false));
    patterns.add(pattern);
    return true;
  }

  /** Makes missing pieces dearer by a factor. */
  void raiseArtificialCost(double factor) {
    artificialCost *= factor;
    refresh();
  }

  /** Finds an optimum over the patterns known; tells whether it got there. */
  boolean solve(Effort effort) {
    boolean inverted = false;
    while (true) {
      int entering = entering();
      if (effort.spend((long) rows * rows + columns.size() * 6L)) {
        return false;
      }
      if (entering < 0) {
        return true;
      }
      if (pivot(entering)) {
        inverted = false;
      } else if (inverted || !invert(effort)) {
        reset();
        return false;
      } else {
        inverted = true;
      }
      if (pivotsSinceInversion >= PIVOTS_BETWEEN_INVERSIONS + rows && !invert(effort)) {
        reset();
        return false;
      }
    }
  }

  private double cost(Column column) {
    return column.artificial ? artificialCost : column.cost;
  }

  private double reducedCost(Column column) {
    double reduced = cost(column);
    for (int n = 0; n < column.rows.length; n++) {
      reduced -= duals[column.rows[n]] * column.values[n];
    }
    return reduced;
  }

  private int entering() {
    int best = -1;
    double bestReduced = -TOLERANCE;
    for (int c = 0; c < columns.size(); c++) {
      Column column = columns.get(c);
      if (!column.basic) {
        double reduced = reducedCost(column);
        if (reduced < bestReduced) {
          bestReduced = reduced;
          best = c;
        }
      }
    }
    return best;
  }

  /** Brings a column into the basis; tells whether a pivot could be found. */
  private boolean pivot(int entering) {
    Column column = columns.get(entering);
    double[] direction = new double[rows];
    for (int r = 0; r < rows; r++) {
      double sum = 0;
      for (int n = 0; n < column.rows.length; n++) {
        sum += inverse[r][column.rows[n]] * column.values[n];
      }
      direction[r] = sum;
    }
    int leaving = leaving(direction);
    if (leaving < 0) {
      return false;
    }
    double reduced = reducedCost(column);
    double step = Math.max(0, amounts[leaving]) / direction[leaving];
    double[] pivotRow = inverse[leaving];
    for (int k = 0; k < rows; k++) {
      pivotRow[k] /= direction[leaving];
      duals[k] += reduced * pivotRow[k];
    }
    for (int r = 0; r < rows; r++) {
      double factor = direction[r];
      if (r != leaving && factor != 0) {
        double[] row = inverse[r];
        for (int k = 0; k < rows; k++) {
          row[k] -= factor * pivotRow[k];
        }
        amounts[r] -= factor * step;
      }
    }
    amounts[leaving] = step;
    columns.get(basis[leaving]).basic = false;
    column.basic = true;
    basis[leaving] = entering;
    pivotsSinceInversion++;
    return true;
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

  /**
   * Computes the inverse anew by Gauss and Jordan with column pivots; tells whether it exists and
   * the effort sufficed.
   */
  private boolean invert(Effort effort) {
    double[][] work = new double[rows][2 * rows];
    for (int c = 0; c < rows; c++) {
      Column column = columns.get(basis[c]);
      for (int n = 0; n < column.rows.length; n++) {
        work[column.rows[n]][c] = column.values[n];
      }
      work[c][rows + c] = 1;
    }
    for (int c = 0; c < rows; c++) {
      int pivot = c;
      for (int r = c + 1; r < rows; r++) {
        if (Math.abs(work[r][c]) > Math.abs(work[pivot][c])) {
          pivot = r;
        }
      }
      if (Math.abs(work[pivot][c]) < TOLERANCE || effort.spend(2L * rows * rows)) {
        return false;
      }
      double[] swapped = work[pivot];
      work[pivot] = work[c];
      work[c] = swapped;
      eliminate(work, c);
    }
    for (int r = 0; r < rows; r++) {
      System.arraycopy(work[r], rows, inverse[r], 0, rows);
    }
    refresh();
    return true;
  }

  private void eliminate(double[][] work, int c) {
    double[] row = work[c];
    double pivot = row[c];
    for (int k = c; k < 2 * rows; k++) {
      row[k] /= pivot;
    }
    for (int r = 0; r < rows; r++) {
      double factor = work[r][c];
      if (r != c && factor != 0) {
        double[] other = work[r];
        for (int k = c; k < 2 * rows; k++) {
          other[k] -= factor * row[k];
        }
      }
    }
  }

  /** Computes amounts and duals from the inverse. */
  private void refresh() {
    pivotsSinceInversion = 0;
    Arrays.fill(duals, 0);
    for (int r = 0; r < rows; r++) {
      amounts[r] = times(inverse[r], sides);
      double cost = cost(columns.get(basis[r]));
      if (cost != 0) {
        for (int k = 0; k < rows; k++) {
          duals[k] += cost * inverse[r][k];
        }
      }
    }
  }

  private static double times(double[] row, double[] vector) {
    double sum = 0;
    for (int k = 0; k < vector.length; k++) {
      sum += row[k] * vector[k];
    }
    return sum;
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
      sum += times(inverse[r], trueSides) * cost(columns.get(basis[r]));
    }
    return sum * costUnit;
  }

  /** Returns how many pieces the optimum leaves missing. */
  double missing() {
    double sum = 0;
    for (int r = 0; r < rows; r++) {
      if (columns.get(basis[r]).artificial) {
        sum += Math.max(0, times(inverse[r], trueSides));
      }
    }
    return sum;
  }

  /** Returns the patterns in the basis with their amounts. */
  List<Amount> solution() {
    List<Amount> solution = new ArrayList<>();
    for (int r = 0; r < rows; r++) {
      int pattern = columns.get(basis[r]).pattern;
      double amount = times(inverse[r], trueSides);
      if (pattern >= 0 && amount > TOLERANCE) {
        solution.add(new Amount(patterns.get(pattern), amount));
      }
    }
    return solution;
  }

  /** How often the relaxation cuts a pattern. */
  record Amount(Pattern pattern, double amount) {}
}
