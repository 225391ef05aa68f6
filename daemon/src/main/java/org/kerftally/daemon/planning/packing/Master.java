package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.lp.Simplex;

/**
 * Holds the linear relaxation over the patterns known so far.
 *
 * <p>Rows: one for each item wanted (at least its demand), one for each stick type in limited
 * number (at most that many). Columns: patterns, and an artificial one on each item's row, dear
 * enough to be left as soon as anything else serves; it makes a start and stands for shortage.
 *
 * <p>For a beginning there are exchanges too, columns that turn a piece into one of the next
 * smaller size at no cost: they keep the duals falling with the sizes, which they do in some
 * optimum anyway where patterns may take as many pieces as they like (Valério de Carvalho 2005),
 * and so save most of the rounds in which the duals swing. Once they are of no more use, {@link
 * #endExchanges}.
 *
 * <p>A dive goes on with the same relaxation for less and less: {@link #restrict} lowers the sides
 * to a residue and forbids patterns that can no longer be cut whole; the dual simplex goes on from
 * the basis as it stands.
 *
 * <p>For search only: nothing here is trusted. Bounds come from {@link DualBound}, which takes the
 * duals as mere proposals. Costs are divided by the dearest stick's.
 */
final class Master {

  private static final double TOLERANCE = 1e-9;

  private final int[] itemRow;
  private final int[] typeRow;
  private final int artificials;
  private final int firstPattern;
  private final double costUnit;
  private final Simplex simplex;

  /** By column; the artificial ones and the exchanges, which come first, have none. */
  private final List<@Nullable Pattern> patterns;

  private final Set<Pattern> known;
  private Instance instance;
  private double artificialCost;

  /**
   * Starts without patterns.
   *
   * @param artificialCost the price of a missing piece, in dearest sticks
   */
  Master(Instance instance, double artificialCost) {
    this.instance = instance;
    this.artificialCost = artificialCost;
    this.costUnit = costUnit(instance);
    this.itemRow = new int[instance.itemCount()];
    this.typeRow = new int[instance.types().size()];
    this.simplex = new Simplex();
    this.patterns = new ArrayList<>();
    this.known = new HashSet<>();
    Arrays.fill(itemRow, -1);
    Arrays.fill(typeRow, -1);
    for (int i = 0; i < itemRow.length; i++) {
      if (instance.demands[i] > 0) {
        itemRow[i] = addRow(Simplex.Sense.AT_LEAST);
        simplex.addColumn(artificialCost, new int[] {itemRow[i]}, new double[] {1});
        patterns.add(null);
      }
    }
    this.artificials = patterns.size();
    addExchanges();
    this.firstPattern = patterns.size();
    for (int t = 0; t < typeRow.length; t++) {
      if (instance.types().get(t).available() > 0 && !instance.isUnlimited(t)) {
        typeRow[t] = addRow(Simplex.Sense.AT_MOST);
      }
    }
    setSides();
  }

  private Master(Master other) {
    this.instance = other.instance;
    this.artificialCost = other.artificialCost;
    this.costUnit = other.costUnit;
    this.itemRow = other.itemRow;
    this.typeRow = other.typeRow;
    this.artificials = other.artificials;
    this.firstPattern = other.firstPattern;
    this.simplex = other.simplex.copy();
    this.patterns = new ArrayList<>(other.patterns);
    this.known = new HashSet<>(other.known);
  }

  private void addExchanges() {
    int larger = -1;
    for (int row : itemRow) {
      if (row >= 0) {
        if (larger >= 0) {
          simplex.addColumn(0, new int[] {larger, row}, new double[] {-1, 1});
          patterns.add(null);
        }
        larger = row;
      }
    }
  }

  /** Forbids exchanges from now on; tells whether there were any. */
  boolean endExchanges() {
    boolean any = firstPattern > artificials && !simplex.isForbidden(artificials);
    for (int column = artificials; any && column < firstPattern; column++) {
      simplex.setForbidden(column, true);
    }
    return any;
  }

  private int addRow(Simplex.Sense sense) {
    return simplex.addRow(sense, 0, new int[0], new double[0]);
  }

  /** Returns a relaxation in the same state that goes its own way. */
  Master copy() {
    return new Master(this);
  }

  /** Returns the price of a missing piece, in dearest sticks. */
  double artificialCost() {
    return artificialCost;
  }

  /** Returns what costs are divided by. */
  static double costUnit(Instance instance) {
    return Math.max(1, instance.types().stream().mapToLong(StickType::cost).max().orElse(1));
  }

  private void setSides() {
    for (int i = 0; i < itemRow.length; i++) {
      if (itemRow[i] >= 0) {
        simplex.setSide(itemRow[i], instance.demands[i]);
      }
    }
    for (int t = 0; t < typeRow.length; t++) {
      if (typeRow[t] >= 0) {
        simplex.setSide(typeRow[t], instance.types().get(t).available());
      }
    }
  }

  /** Adds a pattern, unless it is known or its stick type or an item is not there; tells which. */
  boolean add(Pattern pattern) {
    if (instance.types().get(pattern.type).available() == 0 || !known.add(pattern)) {
      return false;
    }
    int extra = typeRow[pattern.type] >= 0 ? 1 : 0;
    int[] at = new int[pattern.items.length + extra];
    double[] values = new double[at.length];
    for (int n = 0; n < pattern.items.length; n++) {
      at[n] = itemRow[pattern.items[n]];
      values[n] = pattern.counts[n];
    }
    if (extra > 0) {
      at[at.length - 1] = typeRow[pattern.type];
      values[at.length - 1] = 1;
    }
    simplex.addColumn(instance.types().get(pattern.type).cost() / costUnit, at, values);
    patterns.add(pattern);
    return true;
  }

  /** Makes missing pieces dearer by a factor. */
  void raiseArtificialCost(double factor) {
    artificialCost *= factor;
    for (int column = 0; column < artificials; column++) {
      simplex.setCost(column, artificialCost);
    }
  }

  /**
   * Goes on with what is left of the instance.
   *
   * @return the patterns in the basis that can no longer be cut whole
   */
  List<Pattern> restrict(Remaining left) {
    instance = left.toInstance();
    setSides();
    List<Pattern> broken = new ArrayList<>();
    for (int column = firstPattern; column < patterns.size(); column++) {
      Pattern pattern = patterns.get(column);
      if (pattern != null && !simplex.isForbidden(column) && left.repeats(pattern) == 0) {
        simplex.setForbidden(column, true);
        if (simplex.isBasic(column)) {
          broken.add(pattern);
        }
      }
    }
    return broken;
  }

  /** Finds an optimum over the patterns known; tells whether it got there. */
  boolean solve(Effort effort) {
    return simplex.solve(effort::spend) == Simplex.End.OPTIMAL;
  }

  /** Returns what one more of an item would cost, at least 0, in cost units. */
  double itemDual(int item) {
    return itemRow[item] < 0 ? 0 : Math.max(0, simplex.dual(itemRow[item])) * costUnit;
  }

  /** Returns what one more stick of a type would save, at least 0, in cost units. */
  double typeWorth(int type) {
    return typeRow[type] < 0 ? 0 : Math.max(0, -simplex.dual(typeRow[type])) * costUnit;
  }

  /** Returns the optimum's value in cost units, missing pieces included. */
  double value() {
    return simplex.value() * costUnit;
  }

  /** Returns how many pieces the optimum leaves out. */
  double missing() {
    double sum = 0;
    for (int column = 0; column < artificials; column++) {
      sum += Math.max(0, simplex.amount(column));
    }
    return sum;
  }

  /** Returns the patterns in the basis with their amounts. */
  List<Amount> solution() {
    List<Amount> solution = new ArrayList<>();
    for (int column = firstPattern; column < patterns.size(); column++) {
      Pattern pattern = patterns.get(column);
      double amount = simplex.amount(column);
      if (pattern != null && amount > TOLERANCE) {
        solution.add(new Amount(pattern, amount));
      }
    }
    return solution;
  }

  /** How often the relaxation cuts a pattern. */
  record Amount(Pattern pattern, double amount) {}
}
