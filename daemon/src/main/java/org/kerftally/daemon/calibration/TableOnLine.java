package org.kerftally.daemon.calibration;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.geometry.Corrections.Point;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;

/**
 * Works out tables of corrections: from what pieces leave over beside their line, and what becomes
 * of a table in force when a line is put on top of it.
 *
 * <p>A length that was asked for is x = q + c(q), with q = o + s p and the table c in force. Pieces
 * say that it turns out as l + r(l), with l = a + b x and their own table r. Written for the new
 * line q' = a + b q, the whole is q' + c'(q') with c'(q') = b c(q) + r(l): again linear between
 * points, which are those of c and those where l passes a point of r. Points are rounded to {@value
 * #STEP_NM} nm, and one that is nearer to the point before than {@value #LEAST_GAP_NM} nm is left
 * out, for the rounding would tilt the way between them.
 */
final class TableOnLine {

  /** What the configuration takes for lengths and for corrections of them. */
  private static final Length LONGEST = Length.ofMm(100_000);

  private static final Length GREATEST = Length.ofMm(10);

  private static final long STEP_NM = 10;
  private static final long LEAST_GAP_NM = 1_000;

  private TableOnLine() {}

  /** Returns the table that brings the mean of the pieces of each target to the line. */
  static @Nullable Corrections ofResiduals(LineFit fit, List<MeasuredPiece> pieces) {
    List<Point> points = new ArrayList<>();
    for (Map.Entry<Length, BigDecimal> mean : LackOfFit.means(fit, pieces).entrySet()) {
      points.add(new Point(length(line(fit, mean.getKey())), length(mean.getValue())));
    }
    return table(points);
  }

  /**
   * Returns the table to write beside the new line, {@code null} where there is none that the
   * configuration takes.
   *
   * @param inForce the table the pieces were cut with
   * @param own the pieces' own table on top of the line
   */
  static @Nullable Corrections combine(LineFit fit, Corrections inForce, Corrections own) {
    // To whole nanometres, there and back.
    Calibration before = new Calibration(Length.ZERO, BigDecimal.ONE, Length.ofNm(1), inForce);
    Calibration after = new Calibration(Length.ZERO, BigDecimal.ONE, Length.ofNm(1), own);
    List<Point> points = new ArrayList<>();
    for (Point point : inForce.points()) {
      points.add(point(fit, point.at(), point.corrected(), after));
    }
    for (Point point : own.points()) {
      Length asked = asked(fit, point.at());
      points.add(point(fit, before.toPosition(asked), asked, after));
    }
    return table(points);
  }

  private static Point point(LineFit fit, Length straight, Length asked, Calibration after) {
    Length at = length(line(fit, straight));
    Length whole = after.toLength(length(line(fit, asked)));
    return new Point(at, whole.minus(at));
  }

  /** Returns a + b x. */
  private static BigDecimal line(LineFit fit, Length x) {
    return fit.exactScale()
        .multiply(BigDecimal.valueOf(x.nm()).subtract(fit.meanTargetNm()))
        .add(fit.meanMeasuredNm());
  }

  /** Returns x for a + b x. */
  private static Length asked(LineFit fit, Length onLine) {
    return length(
        BigDecimal.valueOf(onLine.nm())
            .subtract(fit.meanMeasuredNm())
            .divide(fit.exactScale(), LineFit.PRECISION)
            .add(fit.meanTargetNm()));
  }

  private static Length length(BigDecimal nm) {
    return Length.ofNm(nm.setScale(0, RoundingMode.HALF_EVEN).longValueExact());
  }

  private static @Nullable Corrections table(List<Point> all) {
    List<Point> points = new ArrayList<>();
    for (Point exact : all.stream().sorted(Comparator.comparing(Point::at)).toList()) {
      Point point = new Point(rounded(exact.at()), rounded(exact.add()));
      Point before = points.isEmpty() ? null : points.get(points.size() - 1);
      if (before != null && point.at().minus(before.at()).nm() < LEAST_GAP_NM) {
        continue;
      }
      boolean fit =
          points.size() < Corrections.MAX_POINTS
              && !point.at().isNegative()
              && !point.at().isMoreThan(LONGEST)
              && !point.add().abs().isMoreThan(GREATEST)
              && (before == null || !Corrections.isSteep(before, point));
      if (!fit) {
        return null;
      }
      points.add(point);
    }
    return new Corrections(points);
  }

  private static Length rounded(Length length) {
    return Length.ofNm(
        BigDecimal.valueOf(length.nm())
            .divide(BigDecimal.valueOf(STEP_NM), 0, RoundingMode.HALF_EVEN)
            .multiply(BigDecimal.valueOf(STEP_NM))
            .longValueExact());
  }
}
