package org.kerftally.daemon.calibration;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.MathContext;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;

/**
 * Fits measured = offset + scale · target by least squares.
 *
 * <p>With n pieces of target x and measured y, in whole nanometres, these are exact integers:
 *
 * <pre>
 * d = n Σx² − (Σx)²      c = n Σxy − Σx Σy      t = n Σy² − (Σy)²
 * scale = c / d          offset = (Σy − scale Σx) / n
 * SSE = (t d − c²) / (n d)              R² = c² / (d t)
 * s² = SSE / (n − 2)     se(scale)² = n s² / d     se(offset)² = s² Σx² / d
 * </pre>
 *
 * <p>(N. R. Draper, H. Smith, Applied Regression Analysis, 3rd ed. 1998, chapter 1, with the means
 * multiplied out.) The usual trouble of these sums, that nearly equal numbers are subtracted, does
 * not arise where nothing is rounded. Safe for use by any thread.
 */
public final class LineFit {

  /** Far more than a double holds, for the divisions and roots that cannot be exact. */
  static final MathContext PRECISION = new MathContext(60);

  private static final int NM_DECIMALS = 6;

  private final int n;
  private final BigInteger count;
  private final BigInteger sumX;
  private final BigInteger sumY;
  private final BigInteger sumXx;
  private final BigInteger d;
  private final BigInteger c;
  private final BigInteger t;

  /**
   * Says how far pieces scatter about the line, and so how sure the line is.
   *
   * @param residualSdMm the residual standard deviation s
   * @param offsetSeMm the standard error of the offset
   * @param scaleSe the standard error of the scale
   */
  public record Scatter(double residualSdMm, double offsetSeMm, double scaleSe) {}

  private LineFit(List<MeasuredPiece> pieces) {
    BigInteger x = BigInteger.ZERO;
    BigInteger y = BigInteger.ZERO;
    BigInteger xx = BigInteger.ZERO;
    BigInteger xy = BigInteger.ZERO;
    BigInteger yy = BigInteger.ZERO;
    for (MeasuredPiece piece : pieces) {
      BigInteger target = nm(piece.target());
      BigInteger measured = nm(piece.measured());
      x = x.add(target);
      y = y.add(measured);
      xx = xx.add(target.multiply(target));
      xy = xy.add(target.multiply(measured));
      yy = yy.add(measured.multiply(measured));
    }
    n = pieces.size();
    count = BigInteger.valueOf(n);
    sumX = x;
    sumY = y;
    sumXx = xx;
    d = count.multiply(xx).subtract(x.multiply(x));
    c = count.multiply(xy).subtract(x.multiply(y));
    t = count.multiply(yy).subtract(y.multiply(y));
  }

  /** Tells whether pieces have two targets at least, without which there are many lines. */
  public static boolean isDetermined(List<MeasuredPiece> pieces) {
    return pieces.stream().map(MeasuredPiece::target).distinct().limit(2).count() == 2;
  }

  /** Fits a line to pieces that determine one. */
  public static LineFit of(List<MeasuredPiece> pieces) {
    if (!isDetermined(pieces)) {
      throw new IllegalArgumentException("at least two targets determine a line");
    }
    return new LineFit(pieces);
  }

  /** Returns how many pieces were fitted. */
  public int pieces() {
    return n;
  }

  /** Returns how many pieces there are beyond the two that a line needs. */
  public int degreesOfFreedom() {
    return n - 2;
  }

  /** Returns the offset in millimetres. */
  public double offsetMm() {
    return new BigDecimal(sumY.multiply(d).subtract(c.multiply(sumX)))
        .divide(new BigDecimal(count.multiply(d)), PRECISION)
        .movePointLeft(NM_DECIMALS)
        .doubleValue();
  }

  /** Returns the scale. */
  public double scale() {
    return exactScale().doubleValue();
  }

  /** Returns the share of the measured lengths' variance that the line explains, 1 at the most. */
  public double rSquared() {
    return t.signum() == 0 ? 1 : ratio(c.multiply(c), d.multiply(t)).doubleValue();
  }

  /** Returns how pieces scatter, or {@code null} for two pieces, through which any line goes. */
  public @Nullable Scatter scatter() {
    if (n < 3) {
      return null;
    }
    BigDecimal variance =
        squaredErrorsNm2().divide(BigDecimal.valueOf(degreesOfFreedom()), PRECISION);
    return new Scatter(
        rootMm(variance),
        rootMm(variance.multiply(ratio(sumXx, d))),
        variance.multiply(ratio(count, d)).sqrt(PRECISION).doubleValue());
  }

  /** Returns how much longer a piece is than the line says. */
  public double residualMm(MeasuredPiece piece) {
    return residualNm(piece).movePointLeft(NM_DECIMALS).doubleValue();
  }

  BigDecimal residualNm(MeasuredPiece piece) {
    // y − offset − scale x, over n d.
    BigInteger numerator =
        count
            .multiply(d)
            .multiply(nm(piece.measured()))
            .subtract(sumY.multiply(d))
            .add(c.multiply(sumX))
            .subtract(count.multiply(c).multiply(nm(piece.target())));
    return ratio(numerator, count.multiply(d));
  }

  /** Returns the sum of the squared residuals. */
  BigDecimal squaredErrorsNm2() {
    return ratio(t.multiply(d).subtract(c.multiply(c)), count.multiply(d));
  }

  /**
   * Returns the leverage of a target: the variance of the line's length there, in units of s². For
   * a piece of the fit that is 1 where the line has to go through it.
   */
  BigDecimal leverage(Length target) {
    BigInteger away = count.multiply(nm(target)).subtract(sumX);
    return ratio(d.add(away.multiply(away)), count.multiply(d));
  }

  BigDecimal exactScale() {
    return ratio(c, d);
  }

  BigDecimal meanTargetNm() {
    return ratio(sumX, count);
  }

  BigDecimal meanMeasuredNm() {
    return ratio(sumY, count);
  }

  private static double rootMm(BigDecimal squareNm2) {
    return squareNm2.sqrt(PRECISION).movePointLeft(NM_DECIMALS).doubleValue();
  }

  private static BigInteger nm(Length length) {
    return BigInteger.valueOf(length.nm());
  }

  private static BigDecimal ratio(BigInteger numerator, BigInteger denominator) {
    return new BigDecimal(numerator).divide(new BigDecimal(denominator), PRECISION);
  }
}
