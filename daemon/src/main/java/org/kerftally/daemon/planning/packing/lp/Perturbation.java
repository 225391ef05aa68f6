package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;

/**
 * Moves sides and costs by a hair, each by another, and back again.
 *
 * <p>Why: many vertices of a cutting problem coincide, and a simplex method that stands still at
 * one of them can go round in a circle for long. The primal simplex is helped by letting every
 * basic amount be a little larger than it is, which is a change of the sides; the dual simplex by
 * letting every non-basic column be a little dearer. Neither spoils what is feasible already. What
 * is out in the end is mended by the other method, from a basis that is nearly right. The hairs are
 * hashes of a count, so that every run is the same.
 */
final class Perturbation {

  private static final double SIDE_HAIR = 1e-3;
  private static final double COST_HAIR = 1e-6;

  private final Basis basis;
  private long hash;
  private boolean costsMoved;
  private boolean sidesMoved;

  Perturbation(Basis basis, long hash) {
    this.basis = basis;
    this.hash = hash;
  }

  Perturbation copyFor(Basis other) {
    Perturbation copy = new Perturbation(other, hash);
    copy.costsMoved = costsMoved;
    copy.sidesMoved = sidesMoved;
    return copy;
  }

  /** Returns a number from 0.5 to 1.5. */
  private double next() {
    hash += 0x9E3779B97F4A7C15L;
    long z = (hash ^ (hash >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return 0.5 + ((z >>> 11) * 0x1.0p-53);
  }

  /**
   * Lets every amount in the basis that may move be a hair more than it is, and at least a hair.
   */
  void loosenAmounts() {
    for (int i = 0; i < basis.rows.count; i++) {
      int v = basis.variable[i];
      if (!basis.isFixed(v)) {
        double more = SIDE_HAIR * next() + Math.max(0, -basis.amount[i]);
        basis.amount[i] += more;
        basis.addTo(basis.rows.hair, v, more);
      }
    }
    sidesMoved = true;
  }

  boolean sidesMoved() {
    return sidesMoved;
  }

  boolean costsMoved() {
    return costsMoved;
  }

  /** Gives the sides back; the amounts are to be computed anew. */
  void restoreSides() {
    Arrays.fill(basis.rows.hair, 0, basis.rows.count, 0);
    basis.amountsStale = true;
    sidesMoved = false;
  }

  /** Makes every column not in the basis that pays for itself as dear as makes no difference. */
  void raiseCosts(double tolerance) {
    for (int j = 0; j < basis.columns.count; j++) {
      if (basis.columns.position[j] < 0 && !basis.columns.forbidden[j]) {
        double reduced = basis.reducedCost(j);
        if (reduced < -tolerance) {
          basis.columns.shift[j] -= reduced;
          costsMoved = true;
        }
      }
    }
    for (int r = 0; r < basis.rows.count; r++) {
      if (basis.rows.position[r] < 0) {
        double reduced = basis.reducedCost(~r);
        if (reduced < -tolerance) {
          basis.rows.shift[r] -= reduced;
          costsMoved = true;
        }
      }
    }
  }

  /** Makes one variable dearer. */
  void raiseCost(int v, double by) {
    if (v >= 0) {
      basis.columns.shift[v] += by;
    } else {
      basis.rows.shift[~v] += by;
    }
    costsMoved = true;
  }

  /** Makes every variable not in the basis a hair dearer. */
  void loosenCosts() {
    for (int j = 0; j < basis.columns.count; j++) {
      if (basis.columns.position[j] < 0) {
        basis.columns.shift[j] += COST_HAIR * next();
      }
    }
    for (int r = 0; r < basis.rows.count; r++) {
      if (basis.rows.position[r] < 0) {
        basis.rows.shift[r] += COST_HAIR * next();
      }
    }
    costsMoved = true;
  }

  /** Gives the costs back; the duals are to be computed anew. */
  void restoreCosts() {
    Arrays.fill(basis.columns.shift, 0, basis.columns.count, 0);
    Arrays.fill(basis.rows.shift, 0, basis.rows.count, 0);
    basis.dualsStale = true;
    costsMoved = false;
  }
}
