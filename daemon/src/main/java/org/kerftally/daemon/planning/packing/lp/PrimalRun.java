package org.kerftally.daemon.planning.packing.lp;

/**
 * Goes from a feasible basis to an optimal one by the primal simplex.
 *
 * <p>Pricing looks at all columns once and keeps a short list of the most attractive; pivots then
 * choose from the list, whose reduced costs alone are computed, until it has little to offer. Among
 * the list's columns reference weights (Harris 1973, "Devex") prefer those that go far for their
 * reduced cost. The ratio test is Harris's in two passes: among the rows that block within a hair,
 * the one with the largest pivot.
 */
final class PrimalRun {

  private static final double OPTIMAL = 1e-9;
  private static final double FEASIBLE = 1e-9;
  private static final double PIVOT = 1e-9;
  private static final double SMALL_PIVOT = 1e-6;
  private static final double DIFFERENT = 1e-7;
  private static final int LIST = 48;
  private static final double LITTLE_LEFT = 0.7;
  private static final int STALL = 30;

  private final Basis basis;
  private final Perturbation perturbation;
  private final Simplex.Stop stop;
  private final double[] direction;
  private final double[] row;
  private final int[] list = new int[LIST];
  private final double[] reduced = new double[LIST];
  private final double[] weight = new double[LIST];
  private int listed;
  private double bestListed;
  private long work;
  private int stalled;

  PrimalRun(Basis basis, Perturbation perturbation, Simplex.Stop stop) {
    this.basis = basis;
    this.perturbation = perturbation;
    this.stop = stop;
    this.direction = new double[basis.rows.count];
    this.row = new double[basis.rows.count];
  }

  /**
   * Goes on to the optimum.
   *
   * @param loosen whether the sides may be moved where amounts are 0
   */
  Simplex.End run(boolean loosen, long mostPivots) {
    for (long n = 0; n < mostPivots; n++) {
      if (basis.factors.isWorn() && !basis.factor()) {
        return Simplex.End.TROUBLE;
      }
      if (stop.spend(basis.factors.takeWork() + takeWork())) {
        return Simplex.End.STOPPED;
      }
      int entering = choose();
      if (entering < 0) {
        if (!basis.dualsStale) {
          return Simplex.End.OPTIMAL;
        }
        basis.refreshDuals();
        listed = 0;
        continue;
      }
      if (loosen && n == 0 && isDegenerate()) {
        perturbation.loosenAmounts();
      }
      int v = list[entering];
      basis.direction(v, direction);
      double cost = exactReducedCost(v);
      if (Math.abs(cost - reduced[entering]) > DIFFERENT * (1 + Math.abs(cost))) {
        if (!basis.factors.isUpdated() && !basis.dualsStale) {
          return Simplex.End.TROUBLE;
        }
        if (!basis.factor()) {
          return Simplex.End.TROUBLE;
        }
        listed = 0;
        continue;
      }
      int leaving = leaving();
      if (leaving < 0 || Math.abs(direction[leaving]) < SMALL_PIVOT) {
        if (basis.factors.isUpdated()) {
          if (!basis.factor()) {
            return Simplex.End.TROUBLE;
          }
          listed = 0;
          continue;
        }
        if (leaving < 0) {
          return Simplex.End.TROUBLE;
        }
      }
      exchange(entering, leaving);
      if (loosen && stalled >= STALL) {
        perturbation.loosenAmounts();
        stalled = 0;
      }
    }
    return Simplex.End.TROUBLE;
  }

  private boolean isDegenerate() {
    for (int i = 0; i < basis.rows.count; i++) {
      if (basis.amount[i] < FEASIBLE && !basis.isFixed(basis.variable[i])) {
        return true;
      }
    }
    return false;
  }

  private double exactReducedCost(int v) {
    double cost = basis.cost(v);
    for (int i = 0; i < direction.length; i++) {
      if (direction[i] != 0) {
        cost -= direction[i] * basis.cost(basis.variable[i]);
      }
    }
    work += direction.length;
    return cost;
  }

  /** Returns the place on the list of the most attractive variable, or -1 where none is. */
  private int choose() {
    int best = bestOfList();
    if (best < 0) {
      fillList();
      best = bestOfList();
      bestListed = best < 0 ? 0 : -reduced[best];
    }
    return best;
  }

  private int bestOfList() {
    int best = -1;
    double bestScore = 0;
    double least = Math.max(OPTIMAL, LITTLE_LEFT * bestListed);
    for (int n = 0; n < listed; n++) {
      double d = basis.reducedCost(list[n]);
      reduced[n] = d;
      if (d < -least && d * d > bestScore * weight[n]) {
        best = n;
        bestScore = d * d / weight[n];
      }
    }
    work += 10L * listed;
    return best;
  }

  private void fillList() {
    listed = 0;
    bestListed = 0;
    double worst = -OPTIMAL;
    Columns columns = basis.columns;
    int[] start = columns.start;
    int[] rowOf = columns.row;
    double[] value = columns.value;
    double[] dual = basis.dual;
    for (int j = 0; j < columns.count; j++) {
      if (columns.position[j] < 0 && !columns.forbidden[j]) {
        double d = columns.cost[j] + columns.shift[j];
        for (int n = start[j], end = start[j + 1]; n < end; n++) {
          d -= dual[rowOf[n]] * value[n];
        }
        if (d < worst) {
          worst = list(j, d);
        }
      }
    }
    for (int r = 0; r < basis.rows.count; r++) {
      if (basis.rows.position[r] < 0) {
        double d = basis.rows.shift[r] - basis.rows.sign[r] * dual[r];
        if (d < worst) {
          worst = list(~r, d);
        }
      }
    }
    work += start[columns.count] + 2L * columns.count + basis.rows.count;
  }

  /** Puts a variable on the list, in the place of the worst where it is full. */
  private double list(int v, double d) {
    if (listed < LIST) {
      list[listed] = v;
      weight[listed] = 1;
      reduced[listed++] = d;
    } else {
      int worst = worst();
      list[worst] = v;
      reduced[worst] = d;
    }
    return listed < LIST ? -OPTIMAL : reduced[worst()];
  }

  private int worst() {
    int worst = 0;
    for (int n = 1; n < LIST; n++) {
      if (reduced[n] > reduced[worst]) {
        worst = n;
      }
    }
    return worst;
  }

  /** The ratio test; a fixed variable in the basis blocks in both directions. */
  private int leaving() {
    double[] amount = basis.amount;
    double least = Double.POSITIVE_INFINITY;
    for (int i = 0; i < direction.length; i++) {
      double slope = direction[i];
      if (slope > PIVOT) {
        least = Math.min(least, (Math.max(0, amount[i]) + FEASIBLE) / slope);
      } else if (slope < -PIVOT && basis.isFixed(basis.variable[i])) {
        least = Math.min(least, FEASIBLE / -slope);
      }
    }
    int best = -1;
    double bestSlope = 0;
    for (int i = 0; i < direction.length; i++) {
      double slope = direction[i];
      if (slope > PIVOT) {
        if (slope > bestSlope && Math.max(0, amount[i]) <= least * slope) {
          best = i;
          bestSlope = slope;
        }
      } else if (-slope > bestSlope && slope < -PIVOT && basis.isFixed(basis.variable[i])) {
        best = i;
        bestSlope = -slope;
      }
    }
    work += 4L * direction.length;
    return best;
  }

  private void exchange(int entering, int leaving) {
    int v = list[entering];
    double slope = direction[leaving];
    double step = slope > 0 ? Math.max(0, basis.amount[leaving]) / slope : 0;
    basis.inverseRow(leaving, row);
    double factor = reduced[entering] / slope;
    for (int i = 0; i < direction.length; i++) {
      basis.amount[i] -= direction[i] * step;
      basis.dual[i] += factor * row[i];
    }
    basis.amount[leaving] = step;
    double entered = weight[entering];
    for (int n = 0; n < listed; n++) {
      double ratio = basis.times(list[n], row) / slope;
      weight[n] = Math.max(weight[n], ratio * ratio * entered);
    }
    int left = basis.variable[leaving];
    basis.exchange(leaving, v, direction);
    if (basis.isFixed(left)) {
      listed--;
      list[entering] = list[listed];
      weight[entering] = weight[listed];
    } else {
      list[entering] = left;
      weight[entering] = Math.max(1, entered / (slope * slope));
    }
    stalled = step <= FEASIBLE ? stalled + 1 : 0;
    work += 5L * direction.length + 10L * listed;
  }

  private long takeWork() {
    long done = work;
    work = 0;
    return done;
  }
}
