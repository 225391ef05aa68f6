package org.kerftally.shared.geometry;

import java.math.BigDecimal;
import java.util.List;
import java.util.function.ToLongFunction;
import org.kerftally.shared.length.Length;

/**
 * Holds what a straight line between position and length leaves over, as a table: at the points the
 * correction of a length is given, between two points it is linear, beyond the ends it stays.
 *
 * <pre>
 *   add                  o-----------    corrected = length + correction(length)
 *    |    o.           .´
 *  --+------`.-------.´------------- length
 *    |         `o..o´
 * </pre>
 *
 * <p>A corrected length grows with the length, and so has one length it comes from, because a
 * correction changes by at most half the distance between two points. Both ways are exact: a result
 * is a fraction, for the caller to round. Safe for use by any thread.
 *
 * @param points by length, each longer than the one before
 */
public record Corrections(List<Point> points) {

  /** The most points: one each 50 mm on the longest saws, finer than anybody measures. */
  public static final int MAX_POINTS = 200;

  /** A straight line as it is. */
  public static final Corrections NONE = new Corrections(List.of());

  /**
   * Says how much is to be added at one length.
   *
   * @param at the length by offset and scale alone
   * @param add what is added to it
   */
  public record Point(Length at, Length add) {

    /** Returns the corrected length. */
    public Length corrected() {
      return at.plus(add);
    }
  }

  /** Holds an exact fraction with a denominator above zero. */
  record Fraction(BigDecimal numerator, BigDecimal denominator) {}

  /** Checks number, order and steepness. */
  public Corrections {
    points = List.copyOf(points);
    if (points.size() > MAX_POINTS) {
      throw new IllegalArgumentException("more than " + MAX_POINTS + " points");
    }
    for (int i = 1; i < points.size(); i++) {
      Point before = points.get(i - 1);
      Point point = points.get(i);
      if (!before.at().isLessThan(point.at()) || isSteep(before, point)) {
        throw new IllegalArgumentException("out of order or too steep: " + before + ", " + point);
      }
    }
  }

  /** Tells whether corrections change by more than half the distance between two points. */
  public static boolean isSteep(Point before, Point point) {
    Length change = point.add().minus(before.add()).abs();
    return change.times(2).isMoreThan(point.at().minus(before.at()));
  }

  /** Returns a length in nanometres with its correction. */
  Fraction correct(BigDecimal lengthNm) {
    int above = above(lengthNm, point -> point.at().nm());
    if (points.isEmpty()) {
      return new Fraction(lengthNm, BigDecimal.ONE);
    }
    if (above == 0 || above == points.size()) {
      BigDecimal add = decimal(points.get(Math.max(0, above - 1)).add());
      return new Fraction(lengthNm.add(add), BigDecimal.ONE);
    }
    Point low = points.get(above - 1);
    Point high = points.get(above);
    return through(
        lengthNm, decimal(low.at()), decimal(high.at()), low.corrected(), high.corrected());
  }

  /** Returns the length in nanometres that has the given corrected length. */
  Fraction undo(BigDecimal correctedNm) {
    int above = above(correctedNm, point -> point.corrected().nm());
    if (points.isEmpty()) {
      return new Fraction(correctedNm, BigDecimal.ONE);
    }
    if (above == 0 || above == points.size()) {
      BigDecimal add = decimal(points.get(Math.max(0, above - 1)).add());
      return new Fraction(correctedNm.subtract(add), BigDecimal.ONE);
    }
    Point low = points.get(above - 1);
    Point high = points.get(above);
    return through(
        correctedNm, decimal(low.corrected()), decimal(high.corrected()), low.at(), high.at());
  }

  /** Returns the height at x of the line through (x1, y1) and (x2, y2). */
  private static Fraction through(
      BigDecimal x, BigDecimal x1, BigDecimal x2, Length y1, Length y2) {
    BigDecimal run = x2.subtract(x1);
    BigDecimal rise = decimal(y2).subtract(decimal(y1));
    return new Fraction(decimal(y1).multiply(run).add(x.subtract(x1).multiply(rise)), run);
  }

  /** Returns how many points lie at x or below it. */
  private int above(BigDecimal x, ToLongFunction<Point> key) {
    int low = 0;
    int high = points.size();
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (BigDecimal.valueOf(key.applyAsLong(points.get(middle))).compareTo(x) <= 0) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low;
  }

  private static BigDecimal decimal(Length length) {
    return BigDecimal.valueOf(length.nm());
  }
}
