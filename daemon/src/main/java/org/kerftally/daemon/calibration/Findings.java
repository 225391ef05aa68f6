package org.kerftally.daemon.calibration;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.geometry.MeasuredPiece;

/**
 * Holds everything that a list of measured pieces tells.
 *
 * @param pieces all pieces, in the file's order
 * @param outliers those that do not belong to the line
 * @param leftOut whether the line was fitted without them
 * @param fit the line
 * @param certainty how sure it is; {@code null} for two pieces, which cannot tell
 * @param lack whether a line is enough; {@code null} where that cannot be told
 * @param tabled whether a table of corrections was asked for and is called for
 * @param present the calibration the pieces were cut with, {@link Calibration#TRUE} for none
 * @param proposal what to write into the configuration
 */
public record Findings(
    List<MeasuredPiece> pieces,
    List<MeasuredPiece> outliers,
    boolean leftOut,
    LineFit fit,
    @Nullable Certainty certainty,
    @Nullable LackOfFit lack,
    boolean tabled,
    Calibration present,
    Proposal proposal) {

  /** Copies the lists. */
  public Findings {
    pieces = List.copyOf(pieces);
    outliers = List.copyOf(outliers);
  }

  /**
   * Works out what pieces tell that determine a line.
   *
   * @param withoutOutliers whether outliers are left out of the fit
   * @param withTable whether a table is proposed where a line is not enough
   */
  public static Findings of(
      List<MeasuredPiece> pieces, boolean withoutOutliers, boolean withTable, Calibration present) {
    List<MeasuredPiece> outliers = OutlierTest.find(pieces);
    boolean leftOut = withoutOutliers && !outliers.isEmpty();
    List<MeasuredPiece> fitted =
        leftOut ? pieces.stream().filter(piece -> !outliers.contains(piece)).toList() : pieces;
    LineFit fit = LineFit.of(fitted);
    LineFit.Scatter scatter = fit.scatter();
    LackOfFit lack = LackOfFit.of(fit, fitted);
    boolean tabled = withTable && lack != null && lack.isSignificant();
    return new Findings(
        pieces,
        outliers,
        leftOut,
        fit,
        scatter == null ? null : Certainty.of(fit, scatter, fitted),
        lack,
        tabled,
        present,
        Proposal.of(
            fit, present, tabled ? TableOnLine.ofResiduals(fit, fitted) : Corrections.NONE));
  }
}
