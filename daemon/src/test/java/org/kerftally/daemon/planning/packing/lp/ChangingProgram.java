package org.kerftally.daemon.planning.packing.lp;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;

/**
 * A small random linear program that changes step by step, kept twice: as a warm {@link Simplex}
 * and as plain numbers for a reference.
 */
final class ChangingProgram {

  private static final Simplex.Stop NEVER = units -> false;

  private final SplittableRandom random;
  private final List<List<Integer>> coefficients = new ArrayList<>();
  private final List<Boolean> atLeast = new ArrayList<>();
  private final List<Integer> sides = new ArrayList<>();
  private final List<Integer> costs = new ArrayList<>();
  private final List<Boolean> forbidden = new ArrayList<>();
  private Simplex warm = new Simplex();

  ChangingProgram(long seed) {
    this.random = new SplittableRandom(seed);
  }

  /** Makes one change of any kind. */
  void change() {
    switch (random.nextInt(10)) {
      case 0 -> addRow();
      case 1, 2, 3 -> addColumn();
      case 4 -> setSide();
      case 5 -> setCost();
      case 6, 7 -> forbid();
      case 8 -> warm = warm.copy();
      default -> removeColumns();
    }
  }

  void addRow() {
    int columns = costs.size();
    List<Integer> row = new ArrayList<>();
    int[] numbers = new int[columns];
    double[] values = new double[columns];
    int entries = 0;
    for (int j = 0; j < columns; j++) {
      int value = random.nextInt(3) == 0 ? random.nextInt(1, 5) : 0;
      row.add(value);
      if (value != 0) {
        numbers[entries] = j;
        values[entries++] = value;
      }
    }
    boolean least = random.nextInt(3) != 0;
    int side = least ? random.nextInt(0, 20) : random.nextInt(0, 40);
    coefficients.add(row);
    atLeast.add(least);
    sides.add(side);
    warm.addRow(
        least ? Simplex.Sense.AT_LEAST : Simplex.Sense.AT_MOST,
        side,
        Arrays.copyOf(numbers, entries),
        Arrays.copyOf(values, entries));
  }

  void addColumn() {
    int rows = sides.size();
    int[] numbers = new int[rows];
    double[] values = new double[rows];
    int entries = 0;
    for (int r = 0; r < rows; r++) {
      int value = random.nextInt(3) == 0 ? random.nextInt(1, 5) : 0;
      coefficients.get(r).add(value);
      if (value != 0) {
        numbers[entries] = r;
        values[entries++] = value;
      }
    }
    int cost = random.nextInt(4) == 0 ? random.nextInt(0, 9) : 3;
    costs.add(cost);
    forbidden.add(false);
    warm.addColumn(cost, Arrays.copyOf(numbers, entries), Arrays.copyOf(values, entries));
  }

  private void setSide() {
    if (!sides.isEmpty()) {
      int row = random.nextInt(sides.size());
      sides.set(row, random.nextInt(0, 25));
      warm.setSide(row, sides.get(row));
    }
  }

  private void setCost() {
    if (!costs.isEmpty()) {
      int column = random.nextInt(costs.size());
      costs.set(column, random.nextInt(0, 9));
      warm.setCost(column, costs.get(column));
    }
  }

  private void forbid() {
    if (!costs.isEmpty()) {
      int column = random.nextInt(costs.size());
      boolean now = random.nextInt(3) != 0;
      forbidden.set(column, now);
      warm.setForbidden(column, now);
    }
  }

  private void removeColumns() {
    int[] map = new int[costs.size()];
    warm.removeColumns(column -> column % 3 == 1, map);
    for (int j = map.length - 1; j >= 0; j--) {
      if (map[j] < 0) {
        costs.remove(j);
        forbidden.remove(j);
        for (List<Integer> row : coefficients) {
          row.remove(j);
        }
      }
    }
  }

  Simplex warm() {
    return warm;
  }

  Simplex.End solveWarm() {
    return warm.solve(NEVER);
  }

  /** Returns the same program solved from nothing. */
  Simplex cold() {
    Simplex cold = new Simplex();
    for (int r = 0; r < sides.size(); r++) {
      cold.addRow(
          atLeast.get(r) ? Simplex.Sense.AT_LEAST : Simplex.Sense.AT_MOST,
          sides.get(r),
          new int[0],
          new double[0]);
    }
    for (int j = 0; j < costs.size(); j++) {
      int column = j;
      int[] rows =
          IntStream.range(0, sides.size())
              .filter(r -> coefficients.get(r).get(column) != 0)
              .toArray();
      double[] values =
          Arrays.stream(rows).mapToDouble(r -> coefficients.get(r).get(column)).toArray();
      cold.addColumn(costs.get(j), rows, values);
      cold.setForbidden(j, forbidden.get(j));
    }
    return cold;
  }

  /** Returns the exact optimum, or not a number where nothing is feasible. */
  double exact() {
    List<RationalReference.Row> rows = new ArrayList<>();
    for (int r = 0; r < sides.size(); r++) {
      rows.add(
          new RationalReference.Row(
              List.copyOf(coefficients.get(r)), atLeast.get(r), sides.get(r)));
    }
    boolean[] no = new boolean[costs.size()];
    for (int j = 0; j < no.length; j++) {
      no[j] = forbidden.get(j);
    }
    return RationalReference.minimum(
        rows, costs.stream().mapToLong(Integer::longValue).toArray(), no);
  }

  /**
   * Returns by how much the worst of the optimality conditions is broken by a simplex's figures.
   */
  double worstViolation(Simplex simplex) {
    double worst = 0;
    double dualValue = 0;
    for (int r = 0; r < sides.size(); r++) {
      double sum = 0;
      for (int j = 0; j < costs.size(); j++) {
        sum += coefficients.get(r).get(j) * simplex.amount(j);
      }
      double slack = atLeast.get(r) ? sum - sides.get(r) : sides.get(r) - sum;
      double wrongSign = atLeast.get(r) ? -simplex.dual(r) : simplex.dual(r);
      worst = Math.max(worst, Math.max(-slack, wrongSign));
      worst = Math.max(worst, Math.abs(slack - simplex.slack(r)));
      dualValue += simplex.dual(r) * sides.get(r);
    }
    for (int j = 0; j < costs.size(); j++) {
      double reduced = costs.get(j);
      for (int r = 0; r < sides.size(); r++) {
        reduced -= coefficients.get(r).get(j) * simplex.dual(r);
      }
      worst = Math.max(worst, -simplex.amount(j));
      worst = Math.max(worst, forbidden.get(j) ? simplex.amount(j) : -reduced);
    }
    return Math.max(worst, Math.abs(dualValue - simplex.value()));
  }
}
