package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;

/**
 * Keeps the rows and their slacks, so that every row is an equation: {@code a x + sign * slack =
 * side}, with slack at least 0.
 */
final class Rows {

  int count;

  /** The slack's coefficient: -1 in an at-least row, 1 in an at-most row. */
  double[] sign = new double[16];

  /** The true sides. */
  double[] side = new double[16];

  /** What the sides are out by for the time being. */
  double[] hair = new double[16];

  /** What the slacks' costs, truly 0, are out by for the time being. */
  double[] shift = new double[16];

  /** The slack's place in the basis, or {@link Columns#NON_BASIC}. */
  int[] position = new int[16];

  int add(double newSign, double newSide) {
    if (count == sign.length) {
      sign = Arrays.copyOf(sign, 2 * count);
      side = Arrays.copyOf(side, 2 * count);
      hair = Arrays.copyOf(hair, 2 * count);
      shift = Arrays.copyOf(shift, 2 * count);
      position = Arrays.copyOf(position, 2 * count);
    }
    sign[count] = newSign;
    side[count] = newSide;
    hair[count] = 0;
    shift[count] = 0;
    position[count] = Columns.NON_BASIC;
    return count++;
  }

  Rows copy() {
    Rows copy = new Rows();
    copy.count = count;
    copy.sign = sign.clone();
    copy.side = side.clone();
    copy.hair = hair.clone();
    copy.shift = shift.clone();
    copy.position = position.clone();
    return copy;
  }
}
