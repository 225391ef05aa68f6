package org.kerftally.daemon.calibration;

import java.util.Comparator;
import java.util.List;
import java.util.OptionalInt;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;

/**
 * Says how sure a fitted line is: which of its figures differ from those of a true positioner, and
 * how far off the mean length may be, all at 95 %.
 *
 * <p>The half-width of the confidence interval of the mean length at target x is t · s · √h(x),
 * where h is the leverage; it is greatest at one end of the measured span (Draper and Smith,
 * Applied Regression Analysis, 3rd ed. 1998, section 3.1). For pieces in need more pieces are
 * supposed to be spread over the same targets and to scatter the same: n pieces more halve h.
 */
public final class Certainty {

  /** The most pieces that are ever proposed. */
  public static final int MAX_PIECES = 1_000_000;

  private final LineFit fit;
  private final LineFit.Scatter scatter;
  private final Length worstTarget;

  private Certainty(LineFit fit, LineFit.Scatter scatter, Length worstTarget) {
    this.fit = fit;
    this.scatter = scatter;
    this.worstTarget = worstTarget;
  }

  /**
   * Judges a line.
   *
   * @param fit the line
   * @param scatter its scatter
   * @param pieces what it was fitted to
   */
  public static Certainty of(LineFit fit, LineFit.Scatter scatter, List<MeasuredPiece> pieces) {
    Length worst =
        pieces.stream()
            .map(MeasuredPiece::target)
            .max(Comparator.comparing(fit::leverage))
            .orElseThrow();
    return new Certainty(fit, scatter, worst);
  }

  /** Returns how pieces scatter about the line. */
  public LineFit.Scatter scatter() {
    return scatter;
  }

  /** Tells whether the offset is off 0 by more than chance. */
  public boolean offsetDiffersFromZero() {
    return Math.abs(fit.offsetMm()) > critical(fit.pieces()) * scatter.offsetSeMm();
  }

  /** Tells whether the scale is off 1 by more than chance. */
  public boolean scaleDiffersFromOne() {
    return Math.abs(fit.scale() - 1) > critical(fit.pieces()) * scatter.scaleSe();
  }

  /** Returns the target, of those measured, at which the mean length is least sure. */
  public Length worstTarget() {
    return worstTarget;
  }

  /** Returns how far off the mean length may be at the worst target. */
  public double halfWidthMm() {
    return halfWidthMm(fit.pieces());
  }

  private double halfWidthMm(int pieces) {
    double leverage = fit.leverage(worstTarget).doubleValue() * fit.pieces() / pieces;
    return critical(pieces) * scatter.residualSdMm() * Math.sqrt(leverage);
  }

  /**
   * Returns how many more pieces bring the half-width down to a tolerance, none where it is more
   * than {@link #MAX_PIECES} altogether.
   */
  public OptionalInt morePieces(Length tolerance) {
    double mostMm = tolerance.toReadingMm();
    int enough = MAX_PIECES;
    if (halfWidthMm(enough) > mostMm) {
      return OptionalInt.empty();
    }
    // The half-width falls with every piece.
    int tooFew = fit.pieces() - 1;
    while (enough - tooFew > 1) {
      int middle = (enough + tooFew) >>> 1;
      if (halfWidthMm(middle) > mostMm) {
        tooFew = middle;
      } else {
        enough = middle;
      }
    }
    return OptionalInt.of(enough - fit.pieces());
  }

  private static double critical(int pieces) {
    return StudentT.twoSided(StudentT.ALPHA, pieces - 2);
  }
}
