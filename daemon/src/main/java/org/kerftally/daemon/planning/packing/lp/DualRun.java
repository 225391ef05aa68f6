package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;

/**
 * Goes from a basis with no column worth entering to one whose amounts are feasible, by the dual
 * simplex.
 *
 * <p>The row to mend is the one with the largest violation for its weight, in a reference framework
 * like Devex's (the exact weights of Forrest and Goldfarb (1992) would cost one more solve a
 * pivot). The ratio test is Harris's: among the columns whose reduced cost vanishes within a hair,
 * the one with the largest pivot; where it overshoots, its cost is raised to fit.
 */
final class DualRun {

  private static final double FEASIBLE = 1e-9;
  private static final double OPTIMAL = 1e-9;
  private static final double PIVOT = 1e-7;
  private static final double SMALL_PIVOT = 1e-5;
  private static final double DIFFERENT = 1e-6;
  private static final int STALL = 30;

  private final Basis basis;
  private final Perturbation perturbation;
  private final Simplex.Stop stop;
  private final double[] direction;
  private final double[] row;
  private final double[] weight;
  private int[] candidates = new int[64];
  private double[] slopes = new double[64];
  private int candidateCount;
  private int stalled;
  private long work;

  DualRun(Basis basis, Perturbation perturbation, Simplex.Stop stop) {
    this.basis = basis;
    this.perturbation = perturbation;
    this.stop = stop;
    this.direction = new double[basis.rows.count];
    this.row = new double[basis.rows.count];
    this.weight = new double[basis.rows.count];
    Arrays.fill(weight, 1);
  }

  /** Tells whether an amount is out of its bounds. */
  static boolean isViolated(Basis basis, int place, double amount, double tolerance) {
    return amount < -tolerance || (amount > tolerance && basis.isFixed(basis.variable[place]));
  }

  /**
   * Goes on until all amounts are feasible.
   *
   * @param loosen whether costs may be moved against standing still
   */
  Simplex.End run(boolean loosen, long mostPivots) {
    for (long n = 0; n < mostPivots; n++) {
      if (basis.factors.isWorn() && !basis.factor()) {
        return Simplex.End.TROUBLE;
      }
      if (stop.spend(basis.factors.takeWork() + takeWork())) {
        return Simplex.End.STOPPED;
      }
      int leaving = leaving();
      if (leaving < 0) {
        return Simplex.End.OPTIMAL;
      }
      basis.inverseRow(leaving, row);
      int chosen = entering(basis.amount[leaving] < 0 ? -1 : 1);
      boolean weak = chosen < 0 || Math.abs(slopes[chosen]) < SMALL_PIVOT;
      if (weak && basis.factors.isUpdated()) {
        if (!basis.factor()) {
          return Simplex.End.TROUBLE;
        }
        continue;
      }
      if (chosen < 0) {
        return Simplex.End.INFEASIBLE;
      }
      int v = candidates[chosen];
      basis.direction(v, direction);
      double slope = direction[leaving];
      if (Math.abs(slope - slopes[chosen]) > DIFFERENT * (1 + Math.abs(slope))) {
        if (!basis.factors.isUpdated() || !basis.factor()) {
          return Simplex.End.TROUBLE;
        }
        continue;
      }
      exchange(v, leaving);
      if (loosen && stalled >= STALL) {
        perturbation.loosenCosts();
        stalled = 0;
      }
    }
    return Simplex.End.TROUBLE;
  }

  private int leaving() {
    int best = -1;
    double bestScore = 0;
    for (int i = 0; i < row.length; i++) {
      double amount = basis.amount[i];
      if (isViolated(basis, i, amount, FEASIBLE) && amount * amount > bestScore * weight[i]) {
        best = i;
        bestScore = amount * amount / weight[i];
      }
    }
    work += 2L * row.length;
    return best;
  }

  /** Returns the place of the entering variable among the candidates, or -1. */
  private int entering(int side) {
    collect(side);
    double least = Double.POSITIVE_INFINITY;
    for (int n = 0; n < candidateCount; n++) {
      double reduced = Math.max(0, basis.reducedCost(candidates[n]));
      least = Math.min(least, (reduced + OPTIMAL) / Math.abs(slopes[n]));
    }
    int best = -1;
    double bestSlope = 0;
    for (int n = 0; n < candidateCount; n++) {
      double slope = Math.abs(slopes[n]);
      if (slope > bestSlope && Math.max(0, basis.reducedCost(candidates[n])) <= least * slope) {
        best = n;
        bestSlope = slope;
      }
    }
    work += 20L * candidateCount;
    return best;
  }

  private void collect(int side) {
    candidateCount = 0;
    Columns columns = basis.columns;
    int[] start = columns.start;
    int[] rowOf = columns.row;
    double[] value = columns.value;
    for (int j = 0; j < columns.count; j++) {
      if (columns.position[j] < 0 && !columns.forbidden[j]) {
        double slope = 0;
        for (int n = start[j], end = start[j + 1]; n < end; n++) {
          slope += row[rowOf[n]] * value[n];
        }
        if (slope * side > PIVOT) {
          add(j, slope);
        }
      }
    }
    for (int r = 0; r < row.length; r++) {
      double slope = row[r] * basis.rows.sign[r];
      if (slope * side > PIVOT && basis.rows.position[r] < 0) {
        add(~r, slope);
      }
    }
    work += start[columns.count] + 2L * columns.count + row.length;
  }

  private void add(int v, double slope) {
    if (candidateCount == candidates.length) {
      candidates = Arrays.copyOf(candidates, 2 * candidateCount);
      slopes = Arrays.copyOf(slopes, 2 * candidateCount);
    }
    candidates[candidateCount] = v;
    slopes[candidateCount++] = slope;
  }

  private void exchange(int v, int leaving) {
    double slope = direction[leaving];
    double reduced = basis.reducedCost(v);
    if (reduced < 0) {
      perturbation.raiseCost(v, -reduced);
      reduced = 0;
    }
    double costStep = reduced / slope;
    double step = basis.amount[leaving] / slope;
    double left = weight[leaving];
    for (int i = 0; i < row.length; i++) {
      basis.dual[i] += costStep * row[i];
      double alpha = direction[i];
      if (alpha != 0) {
        basis.amount[i] -= alpha * step;
        double ratio = alpha / slope;
        weight[i] = Math.max(weight[i], ratio * ratio * left);
      }
    }
    basis.amount[leaving] = step;
    weight[leaving] = Math.max(1, left / (slope * slope));
    basis.exchange(leaving, v, direction);
    stalled = reduced <= OPTIMAL ? stalled + 1 : 0;
    work += 6L * row.length;
  }

  private long takeWork() {
    long done = work;
    work = 0;
    return done;
  }
}
