package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;
import java.util.function.IntPredicate;

/**
 * Keeps the structural columns one after another in flat arrays, so that a scan over thousands of
 * them runs through memory in order and makes no garbage.
 *
 * <p>Entries of column {@code j} stand at {@code start[j]} up to {@code start[j + 1]}. New columns
 * are appended; new rows and removals copy the arrays, which is rare beside scans.
 */
final class Columns {

  /** Where a column that is not in the basis stands. */
  static final int NON_BASIC = -1;

  int count;
  int[] start = new int[17];
  int[] row = new int[64];
  double[] value = new double[64];

  /** The true costs. */
  double[] cost = new double[16];

  /** What the costs are out by for the time being. */
  double[] shift = new double[16];

  boolean[] forbidden = new boolean[16];

  /** The place in the basis, or {@link #NON_BASIC}. */
  int[] position = new int[16];

  int add(double newCost, int[] rows, double[] values) {
    int from = start[count];
    int to = from + rows.length;
    if (count + 1 >= start.length) {
      grow();
    }
    if (to > row.length) {
      row = Arrays.copyOf(row, Math.max(to, 2 * row.length));
      value = Arrays.copyOf(value, row.length);
    }
    System.arraycopy(rows, 0, row, from, rows.length);
    System.arraycopy(values, 0, value, from, rows.length);
    start[count + 1] = to;
    cost[count] = newCost;
    shift[count] = 0;
    forbidden[count] = false;
    position[count] = NON_BASIC;
    return count++;
  }

  private void grow() {
    start = Arrays.copyOf(start, 2 * start.length);
    cost = Arrays.copyOf(cost, start.length);
    shift = Arrays.copyOf(shift, start.length);
    forbidden = Arrays.copyOf(forbidden, start.length);
    position = Arrays.copyOf(position, start.length);
  }

  /** Puts one more entry into each of some columns; a column named twice gets the sum. */
  void addRow(int newRow, int[] columns, double[] values) {
    double[] entries = new double[count];
    for (int n = 0; n < columns.length; n++) {
      entries[columns[n]] += values[n];
    }
    int[] oldRow = row;
    double[] oldValue = value;
    row = new int[Math.max(64, start[count] + columns.length)];
    value = new double[row.length];
    int to = 0;
    int from = 0;
    for (int j = 0; j < count; j++) {
      int end = start[j + 1];
      int length = end - from;
      System.arraycopy(oldRow, from, row, to, length);
      System.arraycopy(oldValue, from, value, to, length);
      start[j] = to;
      to += length;
      from = end;
      if (entries[j] != 0) {
        row[to] = newRow;
        value[to++] = entries[j];
      }
    }
    start[count] = to;
  }

  /** Removes non-basic columns and fills the map from old numbers to new ones. */
  void remove(IntPredicate which, int[] newIndexByOld) {
    int kept = 0;
    int to = 0;
    int from = 0;
    for (int j = 0; j < count; j++) {
      int end = start[j + 1];
      if (position[j] == NON_BASIC && which.test(j)) {
        newIndexByOld[j] = -1;
      } else {
        System.arraycopy(row, from, row, to, end - from);
        System.arraycopy(value, from, value, to, end - from);
        start[kept] = to;
        to += end - from;
        cost[kept] = cost[j];
        shift[kept] = shift[j];
        forbidden[kept] = forbidden[j];
        position[kept] = position[j];
        newIndexByOld[j] = kept++;
      }
      from = end;
    }
    start[kept] = to;
    count = kept;
  }

  /** Returns the product of a column with a vector over the rows. */
  double times(int column, double[] vector) {
    double sum = 0;
    for (int n = start[column], end = start[column + 1]; n < end; n++) {
      sum += vector[row[n]] * value[n];
    }
    return sum;
  }

  Columns copy() {
    Columns copy = new Columns();
    copy.count = count;
    copy.start = start.clone();
    copy.row = row.clone();
    copy.value = value.clone();
    copy.cost = cost.clone();
    copy.shift = shift.clone();
    copy.forbidden = forbidden.clone();
    copy.position = position.clone();
    return copy;
  }
}
