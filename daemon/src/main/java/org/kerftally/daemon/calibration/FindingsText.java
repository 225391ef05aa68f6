package org.kerftally.daemon.calibration;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.OptionalInt;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;

/** Writes findings for people, in the unit of their file, in plain characters. */
public final class FindingsText {

  /** The most pieces that are listed one by one. */
  static final int MAX_LISTED = 40;

  private static final int LEAST_DECIMALS = 3;
  private static final int MOST_DECIMALS = 9;
  private static final int SCALE_DECIMALS = 9;

  private final Findings findings;
  private final LengthUnit unit;
  private final int decimals;
  private final List<String> lines = new ArrayList<>();

  private FindingsText(Findings findings, LengthUnit unit) {
    this.findings = findings;
    this.unit = unit;
    Certainty certainty = findings.certainty();
    double fine = certainty == null ? 0 : certainty.scatter().residualSdMm() / unitMm();
    this.decimals = decimals(fine);
  }

  /**
   * Returns the lines of a report, without what to write into the configuration.
   *
   * @param tolerance how sure the mean length is wanted, or {@code null}
   */
  public static List<String> lines(Findings findings, LengthUnit unit, @Nullable Length tolerance) {
    FindingsText text = new FindingsText(findings, unit);
    text.line();
    text.certainty(tolerance);
    text.lack();
    text.outliers();
    text.residuals();
    return text.lines;
  }

  private double unitMm() {
    return unit.nm() / 1e6;
  }

  /** Returns the decimals that show the first two digits of a number. */
  private static int decimals(double number) {
    if (number <= 0) {
      return LEAST_DECIMALS;
    }
    int wanted = 1 - (int) Math.floor(Math.log10(number));
    return Math.max(LEAST_DECIMALS, Math.min(MOST_DECIMALS, wanted));
  }

  private String length(double mm) {
    return length(mm, decimals);
  }

  private String length(double mm, int places) {
    return String.format(Locale.ROOT, "%." + places + "f %s", mm / unitMm(), unit.symbol());
  }

  private static String scale(double scale) {
    return String.format(Locale.ROOT, "%." + SCALE_DECIMALS + "f", scale);
  }

  private void line() {
    LineFit fit = findings.fit();
    Certainty certainty = findings.certainty();
    lines.add(
        fit.pieces()
            + " pieces"
            + (findings.leftOut() ? ", " + findings.outliers().size() + " left out" : "")
            + ": measured = offset + scale x target, by least squares");
    lines.add("");
    int places = certainty == null ? decimals : decimals(certainty.scatter().offsetSeMm());
    String offset = length(fit.offsetMm(), places);
    if (certainty == null) {
      lines.add("  offset  " + offset);
      lines.add("  scale   " + scale(fit.scale()));
      lines.add("");
      lines.add("Two pieces give a line and say nothing of how sure it is: measure more.");
      return;
    }
    LineFit.Scatter scatter = certainty.scatter();
    row(
        "offset",
        offset,
        length(scatter.offsetSeMm(), places),
        certainty.offsetDiffersFromZero(),
        0);
    row("scale", scale(fit.scale()), scale(scatter.scaleSe()), certainty.scaleDiffersFromOne(), 1);
    lines.add("");
    lines.add(
        "  residual standard deviation "
            + length(scatter.residualSdMm())
            + ", "
            + fit.degreesOfFreedom()
            + " degrees of freedom");
    lines.add(String.format(Locale.ROOT, "  R squared %.12f", fit.rSquared()));
  }

  private void row(String name, String value, String error, boolean differs, int ideal) {
    lines.add(
        String.format(
            Locale.ROOT,
            "  %-7s %14s   standard error %12s   %s %d (t test, 95 %%)",
            name,
            value,
            error,
            differs ? "differs from" : "no different from",
            ideal));
  }

  private void certainty(@Nullable Length tolerance) {
    Certainty certainty = findings.certainty();
    if (certainty == null) {
      return;
    }
    lines.add("");
    lines.add(
        "The mean length is known to +/- "
            + length(certainty.halfWidthMm(), decimals(certainty.halfWidthMm()))
            + " (95 %) at the worst target, "
            + length(certainty.worstTarget().toReadingMm(), 1)
            + ".");
    if (tolerance == null) {
      return;
    }
    OptionalInt more = certainty.morePieces(tolerance);
    String wanted = "+/- " + length(tolerance.toReadingMm(), decimals(tolerance.toReadingMm()));
    if (more.isEmpty()) {
      lines.add(
          "For "
              + wanted
              + " no number of pieces is enough: measure finer, or find what scatters.");
    } else if (more.getAsInt() == 0) {
      lines.add("For " + wanted + " no more pieces are needed.");
    } else {
      lines.add(
          "For "
              + wanted
              + " measure "
              + more.getAsInt()
              + " more, spread over the same lengths, if they scatter the same.");
    }
  }

  private void lack() {
    LackOfFit lack = findings.lack();
    lines.add("");
    if (lack == null) {
      lines.add(
          "Whether a straight line is enough cannot be told: cut at least three lengths, and");
      lines.add("some of them twice.");
      return;
    }
    lines.add(
        String.format(
            Locale.ROOT,
            "A straight line is %s (F = %.2f with %d and %d degrees of freedom, p = %.2g;",
            lack.isSignificant() ? "not enough" : "enough",
            lack.f(),
            lack.lackDegreesOfFreedom(),
            lack.errorDegreesOfFreedom(),
            lack.probability()));
    lines.add(
        LackOfFit.NAME
            + (lack.isReadable() ? "" : ", what it lacks is less than a step of reading")
            + ").");
    if (findings.tabled()) {
      lines.add("The table below brings the mean of each length to where it was measured.");
    } else {
      lines.add(
          lack.isSignificant()
              ? "--table proposes corrections by length; look at the plot first."
              : "A table of corrections would only fit noise.");
    }
  }

  private void outliers() {
    lines.add("");
    List<MeasuredPiece> outliers = findings.outliers();
    if (!OutlierTest.canTest(findings.pieces())) {
      lines.add("Outliers are not looked for among fewer than 5 pieces.");
    } else if (outliers.isEmpty()) {
      lines.add("No outliers (" + OutlierTest.NAME + ", 5 %).");
    } else {
      lines.add(
          (outliers.size() == 1 ? "Outlier: line " : "Outliers: lines ")
              + outliers.stream()
                  .map(piece -> String.valueOf(piece.line()))
                  .collect(Collectors.joining(", "))
              + " ("
              + OutlierTest.NAME
              + ", 5 %).");
      lines.add(
          findings.leftOut()
              ? "Left out of the line, as asked."
              : "Measure again; what is wrong can be left out with --without-outliers.");
    }
  }

  private void residuals() {
    List<MeasuredPiece> listed = findings.pieces();
    lines.add("");
    if (listed.size() > MAX_LISTED) {
      lines.add("The " + MAX_LISTED + " greatest residuals of " + listed.size() + ":");
      listed =
          listed.stream()
              .sorted(Comparator.comparingDouble(piece -> -Math.abs(residual(piece))))
              .limit(MAX_LISTED)
              .sorted(Comparator.comparingInt(MeasuredPiece::line))
              .toList();
    }
    lines.add(
        String.format(
            Locale.ROOT, "  %5s %13s %13s %13s", "line", "target", "measured", "residual"));
    for (MeasuredPiece piece : listed) {
      lines.add(
          String.format(
              Locale.ROOT,
              "  %5d %13.3f %13.3f %+13." + decimals + "f%s",
              piece.line(),
              piece.target().toReadingMm() / unitMm(),
              piece.measured().toReadingMm() / unitMm(),
              residual(piece) / unitMm(),
              findings.outliers().contains(piece) ? "  outlier" : ""));
    }
    lines.add("");
    lines.add("Residuals in " + unit.symbol() + " against target:");
    lines.addAll(new ResidualPlot(findings, unitMm(), decimals).lines());
  }

  private double residual(MeasuredPiece piece) {
    return findings.fit().residualMm(piece);
  }
}
