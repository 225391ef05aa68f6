package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;

/**
 * Factors a sparse square matrix by Gaussian elimination with pivots that make little fill.
 *
 * <p>Why so: the basis of a cutting problem has a handful of entries a column. Singletons, which
 * need no arithmetic at all, are taken first. In the nucleus that is left every pivot minimises
 * Markowitz's count (1957), (entries in its row - 1) × (entries in its column - 1), over the few
 * shortest rows and columns, as Suhl and Suhl (1990) search; and for stability it must not be much
 * smaller than the largest entry of its row.
 *
 * <p>The active part is stored by rows with values and by columns with row numbers only. The arrays
 * are kept from one factorisation to the next.
 */
final class Elimination {

  private static final double THRESHOLD = 0.1;
  private static final double SINGULAR = 1e-9;
  private static final double NOTHING = 1e-14;
  private static final int MOST_SEARCHED = 4;

  private int size;
  private int[][] rowColumns = {};
  private double[][] rowValues = {};
  private int[] rowLength = {};
  private int[][] columnRows = {};
  private int[] columnLength = {};
  private int[] placeInPivotRow = {};
  private final CountLists shortRows = new CountLists();
  private final CountLists shortColumns = new CountLists();
  private int chosenRow;
  private int chosenColumn;
  private long work;

  /** Starts with an empty matrix. */
  void clear(int newSize) {
    size = newSize;
    work = newSize;
    if (rowLength.length < newSize) {
      int old = rowLength.length;
      rowColumns = Arrays.copyOf(rowColumns, newSize);
      rowValues = Arrays.copyOf(rowValues, newSize);
      columnRows = Arrays.copyOf(columnRows, newSize);
      for (int i = old; i < newSize; i++) {
        rowColumns[i] = new int[8];
        rowValues[i] = new double[8];
        columnRows[i] = new int[8];
      }
      rowLength = new int[newSize];
      columnLength = new int[newSize];
      placeInPivotRow = new int[newSize];
      Arrays.fill(placeInPivotRow, -1);
    }
    Arrays.fill(rowLength, 0);
    Arrays.fill(columnLength, 0);
  }

  /** Puts an entry where there is none yet. */
  void put(int row, int column, double value) {
    int length = rowLength[row]++;
    if (length == rowColumns[row].length) {
      rowColumns[row] = Arrays.copyOf(rowColumns[row], 2 * length);
      rowValues[row] = Arrays.copyOf(rowValues[row], 2 * length);
    }
    rowColumns[row][length] = column;
    rowValues[row][length] = value;
    int height = columnLength[column]++;
    if (height == columnRows[column].length) {
      columnRows[column] = Arrays.copyOf(columnRows[column], 2 * height);
    }
    columnRows[column][height] = row;
    work++;
  }

  /**
   * Eliminates as far as there are pivots, writing into empty triangles.
   *
   * @return the number of pivots: less than the size where the matrix is singular
   */
  int run(Triangles into) {
    shortRows.clear(size);
    shortColumns.clear(size);
    for (int i = 0; i < size; i++) {
      shortRows.move(i, rowLength[i]);
      shortColumns.move(i, columnLength[i]);
    }
    int pivots = 0;
    while (choose()) {
      eliminate(into);
      pivots++;
    }
    return pivots;
  }

  /** Returns about how many nanoseconds of arithmetic the last run took. */
  long work() {
    return 4 * work;
  }

  private boolean choose() {
    for (int column = shortColumns.first(1); column >= 0; column = shortColumns.first(1)) {
      int row = columnRows[column][0];
      if (Math.abs(rowValues[row][find(row, column)]) >= SINGULAR) {
        chosenRow = row;
        chosenColumn = column;
        return true;
      }
      drop(row, find(row, column));
      shortRows.move(row, rowLength[row]);
      shortColumns.move(column, 0);
    }
    for (int row = shortRows.first(1); row >= 0; row = shortRows.first(1)) {
      if (Math.abs(rowValues[row][0]) >= SINGULAR) {
        chosenRow = row;
        chosenColumn = rowColumns[row][0];
        return true;
      }
      int column = rowColumns[row][0];
      drop(row, 0);
      shortRows.move(row, 0);
      shortColumns.move(column, columnLength[column]);
    }
    return search();
  }

  private boolean search() {
    long best = Long.MAX_VALUE;
    int searched = 0;
    for (int count = 2; count <= size; count++) {
      if (best <= (long) (count - 1) * (count - 1)) {
        return true;
      }
      for (int q = shortColumns.first(count); q >= 0; q = shortColumns.after(q)) {
        for (int n = 0; n < count; n++) {
          int p = columnRows[q][n];
          long cost = (long) (rowLength[p] - 1) * (count - 1);
          if (cost < best && isStable(p, rowValues[p][find(p, q)])) {
            best = cost;
            chosenRow = p;
            chosenColumn = q;
          }
        }
        if (++searched >= MOST_SEARCHED && best < Long.MAX_VALUE) {
          return true;
        }
      }
      for (int p = shortRows.first(count); p >= 0; p = shortRows.after(p)) {
        for (int n = 0; n < count; n++) {
          long cost = (long) (count - 1) * (columnLength[rowColumns[p][n]] - 1);
          if (cost < best && isStable(p, rowValues[p][n])) {
            best = cost;
            chosenRow = p;
            chosenColumn = rowColumns[p][n];
          }
        }
        if (++searched >= MOST_SEARCHED && best < Long.MAX_VALUE) {
          return true;
        }
      }
    }
    return best < Long.MAX_VALUE;
  }

  private boolean isStable(int row, double value) {
    double least = Math.abs(value);
    if (least < SINGULAR) {
      return false;
    }
    double[] values = rowValues[row];
    for (int n = 0; n < rowLength[row]; n++) {
      if (Math.abs(values[n]) * THRESHOLD > least) {
        return false;
      }
    }
    work += rowLength[row];
    return true;
  }

  private int find(int row, int column) {
    int[] columns = rowColumns[row];
    int n = 0;
    while (columns[n] != column) {
      n++;
    }
    return n;
  }

  /** Takes entry number {@code n} out of a row and its column. */
  private void drop(int row, int n) {
    forget(rowColumns[row][n], row);
    int last = --rowLength[row];
    rowColumns[row][n] = rowColumns[row][last];
    rowValues[row][n] = rowValues[row][last];
  }

  private void forget(int column, int row) {
    int[] rows = columnRows[column];
    int n = 0;
    while (rows[n] != row) {
      n++;
    }
    rows[n] = rows[--columnLength[column]];
  }

  private void eliminate(Triangles into) {
    int p = chosenRow;
    int q = chosenColumn;
    shortRows.remove(p);
    shortColumns.remove(q);
    int[] columns = rowColumns[p];
    double[] values = rowValues[p];
    int at = find(p, q);
    double pivot = values[at];
    drop(p, at);
    int length = rowLength[p];
    for (int n = 0; n < length; n++) {
      forget(columns[n], p);
    }
    into.pivot(p, q, pivot, columns, values, length);
    int height = columnLength[q];
    if (height > 0) {
      for (int n = 0; n < length; n++) {
        placeInPivotRow[columns[n]] = n;
      }
      for (int n = 0; n < height; n++) {
        int row = columnRows[q][n];
        int m = find(row, q);
        double factor = rowValues[row][m] / pivot;
        int last = --rowLength[row];
        rowColumns[row][m] = rowColumns[row][last];
        rowValues[row][m] = rowValues[row][last];
        into.factor(row, factor);
        subtract(row, factor, columns, values, length);
        shortRows.move(row, rowLength[row]);
      }
      for (int n = 0; n < length; n++) {
        placeInPivotRow[columns[n]] = -1;
      }
    }
    columnLength[q] = 0;
    rowLength[p] = 0;
    for (int n = 0; n < length; n++) {
      shortColumns.move(columns[n], columnLength[columns[n]]);
    }
    into.endPivot();
    work += (long) height * (length + 1) + length;
  }

  private void subtract(int row, double factor, int[] columns, double[] values, int length) {
    int met = 0;
    for (int n = rowLength[row] - 1; n >= 0; n--) {
      int place = placeInPivotRow[rowColumns[row][n]];
      if (place >= 0) {
        met++;
        placeInPivotRow[columns[place]] = ~place - 1;
        double difference = rowValues[row][n] - factor * values[place];
        if (Math.abs(difference) > NOTHING) {
          rowValues[row][n] = difference;
        } else {
          drop(row, n);
        }
      }
    }
    work += rowLength[row];
    for (int n = 0; n < length; n++) {
      if (met == 0 || placeInPivotRow[columns[n]] >= 0) {
        put(row, columns[n], -factor * values[n]);
      } else {
        placeInPivotRow[columns[n]] = n;
      }
    }
  }
}
