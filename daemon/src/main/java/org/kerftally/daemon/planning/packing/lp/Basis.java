package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;

/**
 * Holds the basis: which variable stands at which place, its factors, the amounts and the duals.
 *
 * <p>A variable is a number: structural column {@code j} is {@code j}, the slack of row {@code r}
 * is {@code ~r}. There are as many places as rows. Amounts belong to the sides with their hairs,
 * duals to the costs with their shifts; see {@link Perturbation}.
 */
final class Basis {

  private static final int MOST_REPAIRS = 4;

  final Rows rows;
  final Columns columns;
  final LuFactors factors = new LuFactors();
  int[] variable = new int[16];
  double[] amount = new double[16];
  double[] dual = new double[16];
  private double[] scratch = new double[16];

  /** Whether the factors no longer are those of the basis. */
  boolean factorsStale = true;

  /** Whether the amounts no longer are those of the basis and the sides. */
  boolean amountsStale = true;

  /** Whether the duals no longer are those of the basis and the costs. */
  boolean dualsStale = true;

  long pivots;

  Basis(Rows rows, Columns columns) {
    this.rows = rows;
    this.columns = columns;
  }

  /** Returns an independent copy, its factors to be made anew. */
  Basis copy() {
    Basis copy = new Basis(rows.copy(), columns.copy());
    copy.variable = variable.clone();
    copy.amount = amount.clone();
    copy.dual = dual.clone();
    copy.scratch = new double[scratch.length];
    copy.pivots = pivots;
    return copy;
  }

  /** Puts a new row's slack at a new place. */
  void addSlack(int row) {
    if (row == variable.length) {
      variable = Arrays.copyOf(variable, 2 * row);
      amount = Arrays.copyOf(amount, 2 * row);
      dual = Arrays.copyOf(dual, 2 * row);
      scratch = new double[2 * row];
    }
    variable[row] = ~row;
    dual[row] = 0;
    rows.position[row] = row;
    factorsStale = true;
    amountsStale = true;
  }

  /** Becomes the basis of slacks. */
  void reset() {
    Arrays.fill(columns.position, 0, columns.count, Columns.NON_BASIC);
    for (int r = 0; r < rows.count; r++) {
      variable[r] = ~r;
      rows.position[r] = r;
    }
    factorsStale = true;
  }

  boolean isFixed(int v) {
    return v >= 0 && columns.forbidden[v];
  }

  double cost(int v) {
    return v >= 0 ? columns.cost[v] + columns.shift[v] : rows.shift[~v];
  }

  double reducedCost(int v) {
    return v >= 0
        ? columns.cost[v] + columns.shift[v] - columns.times(v, dual)
        : rows.shift[~v] - rows.sign[~v] * dual[~v];
  }

  /** Adds a multiple of a variable's column to a vector over the rows. */
  void addTo(double[] vector, int v, double times) {
    if (v >= 0) {
      for (int n = columns.start[v]; n < columns.start[v + 1]; n++) {
        vector[columns.row[n]] += times * columns.value[n];
      }
    } else {
      vector[~v] += times * rows.sign[~v];
    }
  }

  /** Returns the product of a variable's column with a vector over the rows. */
  double times(int v, double[] vector) {
    return v >= 0 ? columns.times(v, vector) : rows.sign[~v] * vector[~v];
  }

  /** Computes the product of the inverse with a variable's column. */
  void direction(int v, double[] into) {
    addTo(scratch, v, 1);
    factors.solve(scratch, into);
  }

  /** Computes one row of the inverse. */
  void inverseRow(int place, double[] into) {
    scratch[place] = 1;
    factors.solveTransposed(scratch, into);
  }

  /** Factors the basis anew and computes amounts and duals; slacks replace what is singular. */
  boolean factor() {
    for (int tries = 0; tries < MOST_REPAIRS; tries++) {
      Arrays.fill(scratch, 0);
      factors.clear(rows.count);
      for (int i = 0; i < rows.count; i++) {
        putColumn(i, variable[i]);
      }
      if (factors.factor()) {
        factorsStale = false;
        refreshAmounts();
        refreshDuals();
        return true;
      }
      repair();
    }
    return false;
  }

  private void putColumn(int place, int v) {
    if (v < 0) {
      factors.put(~v, place, rows.sign[~v]);
      return;
    }
    for (int n = columns.start[v]; n < columns.start[v + 1]; n++) {
      if (columns.value[n] != 0) {
        factors.put(columns.row[n], place, columns.value[n]);
      }
    }
  }

  private void repair() {
    boolean[] row = factors.rowsWithPivot();
    boolean[] place = factors.positionsWithPivot();
    int r = 0;
    for (int i = 0; i < rows.count; i++) {
      if (!place[i]) {
        leave(variable[i]);
      }
    }
    for (int i = 0; i < rows.count; i++) {
      if (!place[i]) {
        while (row[r]) {
          r++;
        }
        variable[i] = ~r;
        rows.position[r] = i;
        row[r] = true;
      }
    }
  }

  private void leave(int v) {
    if (v >= 0) {
      columns.position[v] = Columns.NON_BASIC;
    } else {
      rows.position[~v] = Columns.NON_BASIC;
    }
  }

  /** Computes the amounts for the sides with their hairs. */
  void refreshAmounts() {
    for (int r = 0; r < rows.count; r++) {
      scratch[r] = rows.side[r] + rows.hair[r];
    }
    factors.solve(scratch, amount);
    amountsStale = false;
  }

  /** Computes the amounts for the true sides into another array. */
  void trueAmounts(double[] into) {
    System.arraycopy(rows.side, 0, scratch, 0, rows.count);
    factors.solve(scratch, into);
  }

  /** Computes the duals for the costs with their shifts. */
  void refreshDuals() {
    for (int i = 0; i < rows.count; i++) {
      scratch[i] = cost(variable[i]);
    }
    factors.solveTransposed(scratch, dual);
    dualsStale = false;
  }

  /**
   * Exchanges a variable of the basis and changes the factors; amounts and duals are the caller's.
   */
  void exchange(int place, int entering, double[] direction) {
    leave(variable[place]);
    variable[place] = entering;
    if (entering >= 0) {
      columns.position[entering] = place;
    } else {
      rows.position[~entering] = place;
    }
    factors.exchange(place, direction);
    pivots++;
  }
}
