package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;

/**
 * Solves with the basis matrix and its transpose while columns of it are exchanged.
 *
 * <p>Sparse triangles of the basis as it was factored last, and behind them one elementary matrix
 * an exchange, the product form of Dantzig and Orchard-Hays (1954). The product form lets the
 * elementary matrices grow denser than the update of Forrest and Tomlin (1972) would, but they are
 * short-lived here: as soon as solving with them costs as much as factoring anew would, spread over
 * the exchanges made, it is time to factor anew.
 */
final class LuFactors {

  private static final int MOST_UPDATES = 100;
  private static final int FEWEST_UPDATES = 16;

  private final Elimination elimination = new Elimination();
  private final Triangles triangles = new Triangles();
  private int size;
  private int updates;
  private final int[] etaPosition = new int[MOST_UPDATES];
  private final double[] etaPivot = new double[MOST_UPDATES];
  private final int[] etaStart = new int[MOST_UPDATES + 1];
  private int[] etaIndex = new int[256];
  private double[] etaValue = new double[256];
  private long work;
  private long factorWork;
  private long etaWork;

  /** Starts a matrix of which no column is known yet. */
  void clear(int newSize) {
    size = newSize;
    updates = 0;
    etaWork = 0;
    elimination.clear(newSize);
    triangles.clear(newSize);
  }

  /** Puts an entry of the matrix where there is none yet. */
  void put(int row, int position, double value) {
    elimination.put(row, position, value);
  }

  /** Factors the matrix put together; tells whether it is regular. */
  boolean factor() {
    boolean regular = elimination.run(triangles) == size;
    factorWork = elimination.work();
    work += factorWork;
    if (regular) {
      triangles.complete();
    }
    return regular;
  }

  /** Returns by row whether a singular matrix has a pivot there. */
  boolean[] rowsWithPivot() {
    return triangles.rowsWithPivot();
  }

  /** Returns by position whether a singular matrix has a pivot there. */
  boolean[] positionsWithPivot() {
    return triangles.columnsWithPivot();
  }

  /** Solves {@code B x = b}: {@code b} by row, zero afterwards; {@code x} by position. */
  void solve(double[] b, double[] x) {
    work += triangles.solve(b, x);
    for (int e = 0; e < updates; e++) {
      double t = x[etaPosition[e]];
      if (t != 0) {
        t /= etaPivot[e];
        int end = etaStart[e + 1];
        for (int n = etaStart[e]; n < end; n++) {
          x[etaIndex[n]] -= etaValue[n] * t;
        }
        x[etaPosition[e]] = t;
        work += end - etaStart[e];
        etaWork += end - etaStart[e];
      }
    }
  }

  /** Solves {@code y B = c}: {@code c} by position, zero afterwards; {@code y} by row. */
  void solveTransposed(double[] c, double[] y) {
    for (int e = updates - 1; e >= 0; e--) {
      double sum = c[etaPosition[e]];
      for (int n = etaStart[e], end = etaStart[e + 1]; n < end; n++) {
        sum -= etaValue[n] * c[etaIndex[n]];
      }
      c[etaPosition[e]] = sum / etaPivot[e];
    }
    work += etaStart[updates];
    etaWork += etaStart[updates];
    work += triangles.solveTransposed(c, y);
  }

  /**
   * Exchanges one column of the basis.
   *
   * @param position whose column goes
   * @param direction the product of the inverse with the column that comes
   */
  void exchange(int position, double[] direction) {
    int end = etaStart[updates];
    if (end + size > etaIndex.length) {
      etaIndex = Arrays.copyOf(etaIndex, 2 * (end + size));
      etaValue = Arrays.copyOf(etaValue, etaIndex.length);
    }
    for (int i = 0; i < size; i++) {
      double value = direction[i];
      if (value != 0 && i != position) {
        etaIndex[end] = i;
        etaValue[end++] = value;
      }
    }
    etaPosition[updates] = position;
    etaPivot[updates] = direction[position];
    etaStart[++updates] = end;
  }

  /** Tells whether it is time to factor anew. */
  boolean isWorn() {
    return updates >= MOST_UPDATES || (updates >= FEWEST_UPDATES && etaWork > factorWork);
  }

  /** Tells whether columns were exchanged since it was factored. */
  boolean isUpdated() {
    return updates > 0;
  }

  /** Returns about how many nanoseconds of arithmetic were done since last asked. */
  long takeWork() {
    long done = work;
    work = 0;
    return done;
  }
}
