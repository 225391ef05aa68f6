package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;
import java.util.function.IntPredicate;

/**
 * Minimises {@code c x} subject to rows {@code a x >= b} or {@code a x <= b}, {@code 0 <= x}, where
 * columns may be forbidden, that is fixed at 0.
 *
 * <p>Made for column generation and for trees of it: a little changes, and the optimum is to be had
 * from the one before in a few pivots. After new columns the old basis is still primal feasible and
 * the primal simplex goes on; after new rows, other sides and forbidden columns it is still dual
 * feasible and the dual simplex does. Where it is neither, columns that would pay are made dearer
 * for as long as the dual simplex takes. What one method leaves out of true, because sides or costs
 * had been moved by a hair, the other mends.
 *
 * <p>The basis is factored sparsely ({@link LuFactors}): a pivot costs about as much as the entries
 * it meets, not the square of the rows.
 *
 * <p>Nothing here is proof of anything; bounds are to be computed from the duals in exact
 * arithmetic. Costs and entries should be scaled to about 1. Entries of one column must be in rows
 * of their own. Nothing throws on numerical trouble: the basis is factored anew, then begun anew
 * with slacks, and at last {@link End#TROUBLE} is the answer. Deterministic; not thread-safe.
 *
 * <p>Sources: Dantzig and Orchard-Hays 1954 (product form); Markowitz 1957; Harris 1973; Suhl and
 * Suhl 1990; Forrest and Goldfarb 1992; Bixby 2002; Maros, "Computational Techniques of the Simplex
 * Method", 2003.
 */
public final class Simplex {

  private static final double FEASIBLE = 1e-9;
  private static final double OPTIMAL = 1e-9;
  private static final double TRULY_FEASIBLE = 1e-7;
  private static final int MOST_ROUNDS = 12;
  private static final int ROUNDS_WITH_HAIRS = 6;
  private static final int PIVOTS_A_LINE = 60;

  /** Which way a row holds. */
  public enum Sense {
    /** {@code a x >= b}. */
    AT_LEAST,
    /** {@code a x <= b}. */
    AT_MOST
  }

  /** How a solve ended. */
  public enum End {
    /** At an optimum, within the tolerances. */
    OPTIMAL,
    /** At a row that no column can mend. */
    INFEASIBLE,
    /** Because it was told to; the basis stands where it got to. */
    STOPPED,
    /** Numbers would not come right. */
    TROUBLE
  }

  /** Meters work. */
  @FunctionalInterface
  public interface Stop {

    /**
     * Notes work done.
     *
     * @param units about nanoseconds of arithmetic
     * @return whether to stop
     */
    boolean spend(long units);
  }

  private final Rows rows;
  private final Columns columns;
  private final Basis basis;
  private final Perturbation perturbation;
  private double[] trueAmount = new double[16];

  /** Starts with no rows and no columns. */
  public Simplex() {
    this.rows = new Rows();
    this.columns = new Columns();
    this.basis = new Basis(rows, columns);
    this.perturbation = new Perturbation(basis, 1);
  }

  private Simplex(Simplex other) {
    this.basis = other.basis.copy();
    this.rows = basis.rows;
    this.columns = basis.columns;
    this.perturbation = other.perturbation.copyFor(basis);
    this.trueAmount = other.trueAmount.clone();
  }

  /**
   * Adds a row; its slack enters the basis.
   *
   * @param existing structural columns with entries in it
   * @param values the entries
   * @return the row's number
   */
  public int addRow(Sense sense, double side, int[] existing, double[] values) {
    int row = rows.add(sense == Sense.AT_LEAST ? -1 : 1, side);
    if (existing.length > 0) {
      columns.addRow(row, existing, values);
    }
    basis.addSlack(row);
    if (row >= trueAmount.length) {
      trueAmount = Arrays.copyOf(trueAmount, 2 * row);
    }
    return row;
  }

  /** Adds a column at amount 0 and returns its number. */
  public int addColumn(double cost, int[] entryRows, double[] values) {
    return columns.add(cost, entryRows, values);
  }

  /** Changes the side of a row. */
  public void setSide(int row, double side) {
    if (rows.side[row] != side) {
      rows.side[row] = side;
      basis.amountsStale = true;
    }
  }

  /** Changes the cost of a column. */
  public void setCost(int column, double cost) {
    if (columns.cost[column] != cost) {
      columns.cost[column] = cost;
      basis.dualsStale |= columns.position[column] >= 0;
    }
  }

  /** Fixes a column at 0, or frees it again. */
  public void setForbidden(int column, boolean forbidden) {
    columns.forbidden[column] = forbidden;
  }

  /** Tells whether a column is fixed at 0. */
  public boolean isForbidden(int column) {
    return columns.forbidden[column];
  }

  /** Goes on from the last basis to an optimum. */
  public End solve(Stop stop) {
    End end = attempt(stop);
    if (end == End.TROUBLE) {
      basis.reset();
      perturbation.restoreSides();
      perturbation.restoreCosts();
      end = attempt(stop);
    }
    settle();
    return end;
  }

  private End attempt(Stop stop) {
    boolean confirmed = false;
    long most = 1000L + (long) PIVOTS_A_LINE * (rows.count + columns.count);
    for (int round = 0; round < MOST_ROUNDS; round++) {
      if (!prepare()) {
        return End.TROUBLE;
      }
      boolean loosen = round < ROUNDS_WITH_HAIRS;
      if (!isFeasible(basis.amount, FEASIBLE)) {
        perturbation.raiseCosts(OPTIMAL);
        End end = new DualRun(basis, perturbation, stop).run(loosen, most);
        if (end == End.INFEASIBLE && (perturbation.sidesMoved() || !confirmed)) {
          confirmed = !perturbation.sidesMoved();
          perturbation.restoreSides();
          basis.factorsStale = true;
          continue;
        }
        if (end != End.OPTIMAL) {
          return end;
        }
        if (perturbation.costsMoved()) {
          perturbation.restoreCosts();
          basis.refreshDuals();
        }
      }
      End end = new PrimalRun(basis, perturbation, stop).run(loosen, most);
      if (end != End.OPTIMAL) {
        return end;
      }
      if (!perturbation.sidesMoved() || isTrulyFeasible()) {
        return End.OPTIMAL;
      }
      perturbation.restoreSides();
    }
    return End.TROUBLE;
  }

  private boolean prepare() {
    if (basis.factorsStale || basis.factors.isWorn()) {
      return basis.factor();
    }
    if (basis.amountsStale) {
      basis.refreshAmounts();
    }
    if (basis.dualsStale) {
      basis.refreshDuals();
    }
    return true;
  }

  private boolean isFeasible(double[] amounts, double tolerance) {
    for (int i = 0; i < rows.count; i++) {
      if (DualRun.isViolated(basis, i, amounts[i], tolerance)) {
        return false;
      }
    }
    return true;
  }

  private boolean isTrulyFeasible() {
    basis.trueAmounts(trueAmount);
    return isFeasible(trueAmount, TRULY_FEASIBLE);
  }

  /** Makes the figures reported those of the true sides and costs. */
  private void settle() {
    if (perturbation.costsMoved()) {
      perturbation.restoreCosts();
    }
    if (basis.factorsStale && !basis.factor()) {
      basis.reset();
      basis.factor();
    }
    if (basis.dualsStale) {
      basis.refreshDuals();
    }
    basis.trueAmounts(trueAmount);
  }

  /** Returns the basis's objective for the true sides and costs. */
  public double value() {
    double sum = 0;
    for (int i = 0; i < rows.count; i++) {
      int v = basis.variable[i];
      if (v >= 0) {
        sum += columns.cost[v] * trueAmount[i];
      }
    }
    return sum;
  }

  /** Returns the amount of a column. */
  public double amount(int column) {
    int place = columns.position[column];
    return place < 0 ? 0 : trueAmount[place];
  }

  /** Returns a row's dual: at an optimum at least 0 in an at-least row, at most 0 in the other. */
  public double dual(int row) {
    return basis.dual[row];
  }

  /** Tells whether a column is in the basis. */
  public boolean isBasic(int column) {
    return columns.position[column] >= 0;
  }

  /** Returns by how much a row holds: at least 0 where it does. */
  public double slack(int row) {
    int place = rows.position[row];
    return place < 0 ? 0 : trueAmount[place];
  }

  /** Returns the number of rows. */
  public int rows() {
    return rows.count;
  }

  /** Returns the number of structural columns. */
  public int columns() {
    return columns.count;
  }

  /**
   * Removes columns that are not in the basis.
   *
   * @param newIndexByOld filled with the new number of every column, -1 where it is gone
   */
  public void removeColumns(IntPredicate which, int[] newIndexByOld) {
    columns.remove(which, newIndexByOld);
    for (int i = 0; i < rows.count; i++) {
      if (basis.variable[i] >= 0) {
        basis.variable[i] = newIndexByOld[basis.variable[i]];
      }
    }
  }

  /** Returns an independent copy with the same basis. */
  public Simplex copy() {
    return new Simplex(this);
  }

  /** Returns how many pivots were made so far. */
  public long pivots() {
    return basis.pivots;
  }
}
