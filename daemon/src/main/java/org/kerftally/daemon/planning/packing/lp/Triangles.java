package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;

/**
 * Holds a factored matrix: the elimination steps below the diagonal and the rows above it.
 *
 * <p>Solves skip every pivot whose entry is zero, which most are when the right side is a column or
 * a unit vector. The upper triangle is therefore kept twice, by columns for one direction and by
 * rows for the other.
 */
final class Triangles {

  private static final double NOTHING = 1e-14;

  private int size;
  private int pivots;
  private int[] pivotRow = {};
  private int[] pivotColumn = {};
  private double[] pivotValue = {};
  private int lowerCount;
  private int[] lowerPivot = {};
  private int[] lowerStart = {0};
  private int lowerEnd;
  private int[] lowerRow = new int[64];
  private double[] lowerFactor = new double[64];
  private int[] upperStart = {0};
  private int[] upperColumn = new int[64];
  private double[] upperValue = new double[64];
  private int[] columnStart = {0};
  private int[] columnRow = new int[64];
  private double[] columnValue = new double[64];

  void clear(int newSize) {
    size = newSize;
    pivots = 0;
    lowerCount = 0;
    lowerEnd = 0;
    if (pivotRow.length < newSize) {
      pivotRow = new int[newSize];
      pivotColumn = new int[newSize];
      pivotValue = new double[newSize];
      lowerPivot = new int[newSize];
      lowerStart = new int[newSize + 1];
      upperStart = new int[newSize + 1];
      columnStart = new int[newSize + 1];
    }
  }

  /** Begins a pivot with the other entries of its row. */
  void pivot(int row, int column, double value, int[] columns, double[] values, int length) {
    pivotRow[pivots] = row;
    pivotColumn[pivots] = column;
    pivotValue[pivots] = value;
    int from = upperStart[pivots];
    if (from + length > upperColumn.length) {
      upperColumn = Arrays.copyOf(upperColumn, 2 * (from + length));
      upperValue = Arrays.copyOf(upperValue, upperColumn.length);
    }
    System.arraycopy(columns, 0, upperColumn, from, length);
    System.arraycopy(values, 0, upperValue, from, length);
    upperStart[pivots + 1] = from + length;
  }

  /** Notes that the pivot's row was taken so many times from another. */
  void factor(int row, double factor) {
    if (lowerEnd == lowerRow.length) {
      lowerRow = Arrays.copyOf(lowerRow, 2 * lowerEnd);
      lowerFactor = Arrays.copyOf(lowerFactor, 2 * lowerEnd);
    }
    lowerRow[lowerEnd] = row;
    lowerFactor[lowerEnd++] = factor;
  }

  /** Ends a pivot. */
  void endPivot() {
    if (lowerEnd > lowerStart[lowerCount]) {
      lowerPivot[lowerCount] = pivotRow[pivots];
      lowerStart[++lowerCount] = lowerEnd;
    }
    pivots++;
  }

  /** Tells which rows have a pivot. */
  boolean[] rowsWithPivot() {
    boolean[] with = new boolean[size];
    for (int k = 0; k < pivots; k++) {
      with[pivotRow[k]] = true;
    }
    return with;
  }

  /** Tells which columns have a pivot. */
  boolean[] columnsWithPivot() {
    boolean[] with = new boolean[size];
    for (int k = 0; k < pivots; k++) {
      with[pivotColumn[k]] = true;
    }
    return with;
  }

  /** Makes ready for solving once every row has its pivot. */
  void complete() {
    int entries = upperStart[size];
    if (columnRow.length < entries) {
      columnRow = new int[upperColumn.length];
      columnValue = new double[upperColumn.length];
    }
    Arrays.fill(columnStart, 0, size + 1, 0);
    for (int n = 0; n < entries; n++) {
      columnStart[upperColumn[n]]++;
    }
    for (int q = 1; q <= size; q++) {
      columnStart[q] += columnStart[q - 1];
    }
    for (int k = size - 1; k >= 0; k--) {
      for (int n = upperStart[k]; n < upperStart[k + 1]; n++) {
        int to = --columnStart[upperColumn[n]];
        columnRow[to] = pivotRow[k];
        columnValue[to] = upperValue[n];
      }
    }
  }

  /** Returns how many entries the factors have, the diagonal included. */
  int entries() {
    return size + upperStart[size] + lowerEnd;
  }

  /**
   * Solves {@code A x = b}.
   *
   * @param b by row; zero afterwards
   * @param x by column; overwritten
   * @return about how many operations it took
   */
  long solve(double[] b, double[] x) {
    long work = (long) size + lowerCount;
    for (int e = 0; e < lowerCount; e++) {
      double t = b[lowerPivot[e]];
      if (t != 0) {
        int end = lowerStart[e + 1];
        for (int n = lowerStart[e]; n < end; n++) {
          b[lowerRow[n]] -= lowerFactor[n] * t;
        }
        work += end - lowerStart[e];
      }
    }
    for (int k = size - 1; k >= 0; k--) {
      int p = pivotRow[k];
      int q = pivotColumn[k];
      double t = b[p];
      b[p] = 0;
      if (Math.abs(t) <= NOTHING) {
        x[q] = 0;
      } else {
        t /= pivotValue[k];
        x[q] = t;
        int end = columnStart[q + 1];
        for (int n = columnStart[q]; n < end; n++) {
          b[columnRow[n]] -= columnValue[n] * t;
        }
        work += end - columnStart[q];
      }
    }
    return work;
  }

  /**
   * Solves {@code y A = c}.
   *
   * @param c by column; zero afterwards
   * @param y by row; overwritten
   * @return about how many operations it took
   */
  long solveTransposed(double[] c, double[] y) {
    long work = (long) size + lowerEnd;
    for (int k = 0; k < size; k++) {
      int q = pivotColumn[k];
      double t = c[q];
      c[q] = 0;
      if (Math.abs(t) <= NOTHING) {
        y[pivotRow[k]] = 0;
      } else {
        t /= pivotValue[k];
        y[pivotRow[k]] = t;
        int end = upperStart[k + 1];
        for (int n = upperStart[k]; n < end; n++) {
          c[upperColumn[n]] -= upperValue[n] * t;
        }
        work += end - upperStart[k];
      }
    }
    for (int e = lowerCount - 1; e >= 0; e--) {
      double sum = 0;
      for (int n = lowerStart[e], end = lowerStart[e + 1]; n < end; n++) {
        sum += lowerFactor[n] * y[lowerRow[n]];
      }
      y[lowerPivot[e]] -= sum;
    }
    return work;
  }
}
