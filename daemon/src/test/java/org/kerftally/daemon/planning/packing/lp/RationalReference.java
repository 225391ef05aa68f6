package org.kerftally.daemon.planning.packing.lp;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;

/**
 * Solves small linear programs with whole coefficients exactly: a full tableau of whole numbers
 * over one common denominator, two phases, and Bland's rule (1977), which never goes round in a
 * circle. Slow, and written so as to have nothing in common with what it checks.
 */
final class RationalReference {

  /** A row: its coefficients by column, whether at least or at most, and its side. */
  record Row(List<Integer> coefficients, boolean atLeast, long side) {}

  private final BigInteger[][] tableau;
  private final int[] basis;
  private final int columns;
  private final int artificials;
  private BigInteger denominator = BigInteger.ONE;

  private RationalReference(List<Row> rows, int structurals) {
    int m = rows.size();
    this.columns = structurals + m;
    this.artificials = m;
    this.basis = new int[m];
    this.tableau = new BigInteger[m + 1][columns + artificials + 1];
    for (int r = 0; r < m; r++) {
      Row row = rows.get(r);
      long sign = row.side() < 0 ? -1 : 1;
      for (int j = 0; j <= columns + artificials; j++) {
        tableau[r][j] = BigInteger.ZERO;
      }
      for (int j = 0; j < structurals; j++) {
        tableau[r][j] = BigInteger.valueOf(sign * row.coefficients().get(j));
      }
      tableau[r][structurals + r] = BigInteger.valueOf(row.atLeast() ? -sign : sign);
      tableau[r][columns + r] = BigInteger.ONE;
      tableau[r][columns + artificials] = BigInteger.valueOf(sign * row.side());
      basis[r] = columns + r;
    }
  }

  /**
   * Minimises.
   *
   * @param forbidden by column, whether it must be 0
   * @return the optimum, or not a number where nothing is feasible
   */
  static double minimum(List<Row> rows, long[] costs, boolean[] forbidden) {
    RationalReference reference = new RationalReference(rows, costs.length);
    return reference.solve(costs, forbidden);
  }

  private double solve(long[] costs, boolean[] forbidden) {
    List<Integer> allowed = new ArrayList<>();
    for (int j = 0; j < columns; j++) {
      if (j >= costs.length || !forbidden[j]) {
        allowed.add(j);
      }
    }
    long[] first = new long[columns + artificials];
    for (int j = columns; j < columns + artificials; j++) {
      first[j] = 1;
    }
    if (minimise(first, allowed).signum() > 0) {
      return Double.NaN;
    }
    for (int r = 0; r < basis.length; r++) {
      if (basis[r] >= columns) {
        driveOut(r, allowed);
      }
    }
    long[] second = new long[columns + artificials];
    System.arraycopy(costs, 0, second, 0, costs.length);
    BigInteger optimum = minimise(second, allowed);
    return new BigDecimal(optimum)
        .divide(new BigDecimal(denominator), MathContext.DECIMAL64)
        .doubleValue();
  }

  private void driveOut(int r, List<Integer> allowed) {
    for (int j : allowed) {
      if (tableau[r][j].signum() != 0) {
        pivot(r, j);
        return;
      }
    }
  }

  /** Returns the optimum times the denominator. */
  private BigInteger minimise(long[] costs, List<Integer> allowed) {
    int last = columns + artificials;
    BigInteger[] objective = tableau[basis.length];
    for (int j = 0; j <= last; j++) {
      BigInteger sum =
          j < last ? denominator.multiply(BigInteger.valueOf(costs[j])) : BigInteger.ZERO;
      for (int r = 0; r < basis.length; r++) {
        sum = sum.subtract(tableau[r][j].multiply(BigInteger.valueOf(costs[basis[r]])));
      }
      objective[j] = sum;
    }
    while (true) {
      int entering = -1;
      for (int j : allowed) {
        if (objective[j].signum() < 0) {
          entering = j;
          break;
        }
      }
      if (entering < 0) {
        return objective[last].negate();
      }
      int leaving = -1;
      for (int r = 0; r < basis.length; r++) {
        if (tableau[r][entering].signum() > 0 && (leaving < 0 || isBefore(r, leaving, entering))) {
          leaving = r;
        }
      }
      if (leaving < 0) {
        throw new IllegalStateException("unbounded");
      }
      pivot(leaving, entering);
    }
  }

  private boolean isBefore(int r, int other, int entering) {
    int last = columns + artificials;
    int order =
        tableau[r][last]
            .multiply(tableau[other][entering])
            .compareTo(tableau[other][last].multiply(tableau[r][entering]));
    return order < 0 || (order == 0 && basis[r] < basis[other]);
  }

  /** Exchanges one variable of the basis, keeping everything whole (Edmonds 1967). */
  private void pivot(int r, int entering) {
    BigInteger pivot = tableau[r][entering];
    for (int i = 0; i < tableau.length; i++) {
      if (i != r && tableau[i][0] != null) {
        BigInteger factor = tableau[i][entering];
        for (int j = 0; j < tableau[i].length; j++) {
          tableau[i][j] =
              tableau[i][j]
                  .multiply(pivot)
                  .subtract(factor.multiply(tableau[r][j]))
                  .divide(denominator);
        }
      }
    }
    denominator = pivot;
    basis[r] = entering;
    if (denominator.signum() < 0) {
      denominator = denominator.negate();
      for (BigInteger[] row : tableau) {
        for (int j = 0; j < row.length && row[j] != null; j++) {
          row[j] = row[j].negate();
        }
      }
    }
  }
}
