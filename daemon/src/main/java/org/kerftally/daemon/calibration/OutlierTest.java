package org.kerftally.daemon.calibration;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.MeasuredPiece;

/**
 * Finds pieces that do not belong to the line: the generalized extreme studentized residual
 * procedure (S. R. Paul, K. Y. Fung, Technometrics 33 (1991) 339–348), which is Rosner's
 * generalized ESD test (NIST/SEMATECH e-Handbook, 1.3.5.17.3) for the residuals of a regression.
 *
 * <p>The piece with the greatest studentized residual is set aside and the rest fitted anew, as
 * often as there may be outliers. At each step the residual, in units of the scatter of all others
 * (externally studentized, R. D. Cook, S. Weisberg, Residuals and Influence in Regression, 1982,
 * section 2.2), is compared with Student's t for n − 3 degrees of freedom, the 5 % shared out among
 * the n pieces (Bonferroni). Outliers are all pieces set aside up to the last step that exceeds it,
 * so two bad pieces cannot hide each other.
 *
 * <p>Lengths are read in steps. Pieces that agree to the last digit have no scatter at all, and one
 * that is a step off would be an outlier. So the scatter is taken for that of rounding at least:
 * step / √12 (JCGM 100:2008, F.2.2.1).
 */
public final class OutlierTest {

  /** What it is called, for people. */
  public static final String NAME = "generalized extreme studentized residual procedure";

  /** The most outliers that are looked for. */
  static final int MAX_OUTLIERS = 20;

  /** One piece in so many may be an outlier: if more are, it is the line that is in doubt. */
  static final int PIECES_PER_OUTLIER = 5;

  private static final BigDecimal TWELVE = BigDecimal.valueOf(12);

  private OutlierTest() {}

  /** Tells whether there are enough pieces to look for outliers among them. */
  public static boolean canTest(List<MeasuredPiece> pieces) {
    return pieces.size() >= PIECES_PER_OUTLIER;
  }

  /** Returns the outliers in the order of their lines; none where there are too few pieces. */
  public static List<MeasuredPiece> find(List<MeasuredPiece> pieces) {
    BigDecimal leastVarianceNm2 = roundingVarianceNm2(pieces);
    int most = Math.min(MAX_OUTLIERS, pieces.size() / PIECES_PER_OUTLIER);
    List<MeasuredPiece> left = new ArrayList<>(pieces);
    List<MeasuredPiece> setAside = new ArrayList<>();
    int outliers = 0;
    while (setAside.size() < most) {
      LineFit fit = LineFit.of(left);
      MeasuredPiece worst = worst(fit, left);
      if (worst == null) {
        break;
      }
      double critical = StudentT.twoSided(StudentT.ALPHA / left.size(), left.size() - 3);
      setAside.add(worst);
      left.remove(worst);
      if (studentized(fit, worst, leastVarianceNm2) > critical) {
        outliers = setAside.size();
      }
    }
    return setAside.subList(0, outliers).stream()
        .sorted(Comparator.comparingInt(MeasuredPiece::line))
        .toList();
  }

  /** Returns the piece with the greatest studentized residual, of those that have one. */
  private static @Nullable MeasuredPiece worst(LineFit fit, List<MeasuredPiece> pieces) {
    MeasuredPiece worst = null;
    double greatest = 0;
    for (MeasuredPiece piece : pieces) {
      double freedom = BigDecimal.ONE.subtract(fit.leverage(piece.target())).doubleValue();
      double square = Math.pow(fit.residualMm(piece), 2);
      if (freedom > 0 && square / freedom > greatest) {
        greatest = square / freedom;
        worst = piece;
      }
    }
    return worst;
  }

  /** Returns a residual's size in units of the scatter that the other pieces have. */
  static double studentized(LineFit fit, MeasuredPiece piece, BigDecimal leastVarianceNm2) {
    BigDecimal residual = fit.residualNm(piece);
    BigDecimal freedom = BigDecimal.ONE.subtract(fit.leverage(piece.target()));
    BigDecimal share = residual.multiply(residual).divide(freedom, LineFit.PRECISION);
    BigDecimal variance =
        fit.squaredErrorsNm2()
            .subtract(share)
            .divide(BigDecimal.valueOf(fit.pieces() - 3), LineFit.PRECISION)
            .max(leastVarianceNm2);
    return share.divide(variance, LineFit.PRECISION).sqrt(LineFit.PRECISION).doubleValue();
  }

  /** Returns the variance of rounding to the step in which all lengths were read. */
  static BigDecimal roundingVarianceNm2(List<MeasuredPiece> pieces) {
    BigDecimal stepNm = BigDecimal.valueOf(stepNm(pieces));
    return stepNm.multiply(stepNm).divide(TWELVE, LineFit.PRECISION);
  }

  /** Returns the step in which all lengths were read: the greatest that divides them all. */
  static long stepNm(List<MeasuredPiece> pieces) {
    long step = 0;
    for (MeasuredPiece piece : pieces) {
      step = greatestDivisor(piece.measured().nm(), step);
    }
    return Math.max(1, step);
  }

  private static long greatestDivisor(long a, long b) {
    return b == 0 ? a : greatestDivisor(b, a % b);
  }
}
