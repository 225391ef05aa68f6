package org.kerftally.daemon.planning.packing;

import java.util.Arrays;
import java.util.List;

/**
 * Holds the inverse of a simplex basis as a dense matrix, changed in place by every exchange of one
 * column and computed anew now and then.
 */
final class BasisInverse {

  private static final double SINGULAR = 1e-9;

  private final int size;
  private final double[][] inverse;

  BasisInverse(int size) {
    this.size = size;
    this.inverse = new double[size][size];
  }

  /** Becomes a copy of another inverse of the same size. */
  void copyFrom(BasisInverse other) {
    for (int r = 0; r < size; r++) {
      System.arraycopy(other.inverse[r], 0, inverse[r], 0, size);
    }
  }

  /** Returns one row, not to be changed. */
  double[] row(int r) {
    return inverse[r];
  }

  /** Becomes the unit matrix. */
  void reset() {
    for (int r = 0; r < size; r++) {
      Arrays.fill(inverse[r], 0);
      inverse[r][r] = 1;
    }
  }

  /** Returns the product with a column. */
  double[] times(LpColumn column) {
    double[] product = new double[size];
    for (int r = 0; r < size; r++) {
      product[r] = column.times(inverse[r]);
    }
    return product;
  }

  /** Returns the product of one row with a vector. */
  double times(int r, double[] vector) {
    double[] row = inverse[r];
    double sum = 0;
    for (int k = 0; k < size; k++) {
      sum += row[k] * vector[k];
    }
    return sum;
  }

  /** Lets a column with this product take the place of the basic column of row {@code leaving}. */
  void exchange(int leaving, double[] direction) {
    double[] pivotRow = inverse[leaving];
    double pivot = direction[leaving];
    for (int k = 0; k < size; k++) {
      pivotRow[k] /= pivot;
    }
    for (int r = 0; r < size; r++) {
      double factor = direction[r];
      if (r != leaving && factor != 0) {
        subtract(inverse[r], factor, pivotRow, 0);
      }
    }
  }

  /**
   * Computes the inverse anew by Gauss and Jordan with row exchanges.
   *
   * @return whether it exists and the effort sufficed; else the old one stands
   */
  boolean invert(List<LpColumn> basis, Effort effort) {
    double[][] work = new double[size][2 * size];
    for (int c = 0; c < size; c++) {
      LpColumn column = basis.get(c);
      for (int n = 0; n < column.rows.length; n++) {
        work[column.rows[n]][c] = column.values[n];
      }
      work[c][size + c] = 1;
    }
    for (int c = 0; c < size; c++) {
      int pivot = largest(work, c);
      if (Math.abs(work[pivot][c]) < SINGULAR || effort.spend(2L * size * size)) {
        return false;
      }
      double[] swapped = work[pivot];
      work[pivot] = work[c];
      work[c] = swapped;
      eliminate(work, c);
    }
    for (int r = 0; r < size; r++) {
      System.arraycopy(work[r], size, inverse[r], 0, size);
    }
    return true;
  }

  private int largest(double[][] work, int c) {
    int largest = c;
    for (int r = c + 1; r < size; r++) {
      if (Math.abs(work[r][c]) > Math.abs(work[largest][c])) {
        largest = r;
      }
    }
    return largest;
  }

  private void eliminate(double[][] work, int c) {
    double[] row = work[c];
    double pivot = row[c];
    for (int k = c; k < row.length; k++) {
      row[k] /= pivot;
    }
    for (int r = 0; r < size; r++) {
      double factor = work[r][c];
      if (r != c && factor != 0) {
        subtract(work[r], factor, row, c);
      }
    }
  }

  private static void subtract(double[] from, double factor, double[] row, int start) {
    for (int k = start; k < row.length; k++) {
      from[k] -= factor * row[k];
    }
  }
}
