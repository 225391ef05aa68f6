package org.kerftally.daemon.calibration;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.apache.commons.statistics.distribution.FDistribution;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;

/**
 * Tells whether a straight line is enough: the lack-of-fit F test against pure error (NIST/SEMATECH
 * e-Handbook, 4.4.4.6).
 *
 * <p>Pieces of one target scatter about their own mean whatever the line is. If the means are off
 * the line by more than that scatter explains, the line lacks something:
 *
 * <pre>
 * F = (SSE − SSPE) / (m − 2)  :  SSPE / (n − m)        n pieces of m targets
 * </pre>
 *
 * <p>The scatter is taken for that of rounding at least, as for outliers. Pieces that are truly the
 * same are rounded the same, though, so that their mean is no better than one of them: what is no
 * more than a step of reading is not seen at all.
 *
 * @param f the ratio
 * @param lackDegreesOfFreedom m − 2
 * @param errorDegreesOfFreedom n − m
 * @param probability how often chance alone gives such a ratio or a greater one
 * @param isReadable whether a target's mean is off the line by more than a step of reading
 */
public record LackOfFit(
    double f,
    int lackDegreesOfFreedom,
    int errorDegreesOfFreedom,
    double probability,
    boolean isReadable) {

  /** What it is called, for people. */
  public static final String NAME = "lack-of-fit F test against pure error";

  /** Returns the test, or {@code null} where no target was cut twice or only two were. */
  static @Nullable LackOfFit of(LineFit fit, List<MeasuredPiece> pieces) {
    Map<Length, BigDecimal> means = means(fit, pieces);
    int lack = means.size() - 2;
    int error = pieces.size() - lack - 2;
    if (lack < 1 || error < 1) {
      return null;
    }
    BigDecimal pureNm2 = pureErrorNm2(pieces);
    BigDecimal varianceNm2 =
        pureNm2
            .divide(BigDecimal.valueOf(error), LineFit.PRECISION)
            .max(OutlierTest.roundingVarianceNm2(pieces));
    double f =
        fit.squaredErrorsNm2()
            .subtract(pureNm2)
            .divide(varianceNm2.multiply(BigDecimal.valueOf(lack)), LineFit.PRECISION)
            .doubleValue();
    // What was subtracted was rounded: a line through all means leaves a little above or below 0.
    double ratio = Math.max(0, f);
    double probability = FDistribution.of(lack, error).survivalProbability(ratio);
    BigDecimal stepNm = BigDecimal.valueOf(OutlierTest.stepNm(pieces));
    boolean readable = means.values().stream().anyMatch(off -> off.abs().compareTo(stepNm) > 0);
    return new LackOfFit(ratio, lack, error, probability, readable);
  }

  /** Tells whether a straight line is not enough. */
  public boolean isSignificant() {
    return isReadable && probability < StudentT.ALPHA;
  }

  /** Returns how far the mean of the pieces of each target is off the line, by target. */
  static Map<Length, BigDecimal> means(LineFit fit, List<MeasuredPiece> pieces) {
    Map<Length, BigDecimal> sums = new TreeMap<>();
    Map<Length, Integer> counts = new TreeMap<>();
    for (MeasuredPiece piece : pieces) {
      sums.merge(piece.target(), fit.residualNm(piece), BigDecimal::add);
      counts.merge(piece.target(), 1, Integer::sum);
    }
    sums.replaceAll(
        (target, sum) ->
            sum.divide(BigDecimal.valueOf(counts.getOrDefault(target, 1)), LineFit.PRECISION));
    return sums;
  }

  /** Returns the sum over all targets of Σ y² − (Σ y)² / k for k pieces of one. */
  private static BigDecimal pureErrorNm2(List<MeasuredPiece> pieces) {
    Map<Length, BigInteger[]> sums = new TreeMap<>();
    for (MeasuredPiece piece : pieces) {
      BigInteger y = BigInteger.valueOf(piece.measured().nm());
      sums.merge(
          piece.target(),
          new BigInteger[] {BigInteger.ONE, y, y.multiply(y)},
          (a, b) -> new BigInteger[] {a[0].add(b[0]), a[1].add(b[1]), a[2].add(b[2])});
    }
    BigDecimal pure = BigDecimal.ZERO;
    for (BigInteger[] sum : sums.values()) {
      BigInteger kTimes = sum[0].multiply(sum[2]).subtract(sum[1].multiply(sum[1]));
      pure = pure.add(new BigDecimal(kTimes).divide(new BigDecimal(sum[0]), LineFit.PRECISION));
    }
    return pure;
  }
}
