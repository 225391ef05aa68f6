package org.kerftally.daemon.planning.packing;

import org.jspecify.annotations.Nullable;

/** One column of {@link MasterLp}: its entries by row, its cost, and the pattern behind it. */
final class LpColumn {

  final int[] rows;
  final double[] values;
  final double cost;

  /** The pattern, or {@code null} for a logical column. */
  final @Nullable Pattern pattern;

  /** Whether it stands for a missing piece. */
  final boolean artificial;

  /** Whether it is in the basis now. */
  boolean basic;

  /** Whether it can no longer be cut whole, and so costs as much as missing pieces. */
  boolean banned;

  private LpColumn(
      int[] rows, double[] values, double cost, @Nullable Pattern pattern, boolean artificial) {
    this.rows = rows;
    this.values = values;
    this.cost = cost;
    this.pattern = pattern;
    this.artificial = artificial;
  }

  static LpColumn logical(int row, double value, boolean artificial) {
    return new LpColumn(new int[] {row}, new double[] {value}, 0, null, artificial);
  }

  static LpColumn of(Pattern pattern, int[] rows, double[] values, double cost) {
    return new LpColumn(rows, values, cost, pattern, false);
  }

  /** Returns the same column with flags of its own. */
  LpColumn copy() {
    LpColumn copy = new LpColumn(rows, values, cost, pattern, artificial);
    copy.basic = basic;
    copy.banned = banned;
    return copy;
  }

  /** Returns the product with a vector over the rows. */
  double times(double[] vector) {
    double sum = 0;
    for (int n = 0; n < rows.length; n++) {
      sum += vector[rows[n]] * values[n];
    }
    return sum;
  }
}
