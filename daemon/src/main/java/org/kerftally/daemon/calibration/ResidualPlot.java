package org.kerftally.daemon.calibration;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.kerftally.shared.geometry.MeasuredPiece;

/**
 * Draws residuals against targets in plain characters, {@value #WIDTH} columns wide whatever the
 * number of pieces:
 *
 * <pre>
 *  +0.120 |        o
 *       0 |--o--------2---
 *  -0.120 |     o
 *         +---------------
 *          100       2400
 * </pre>
 *
 * <p>A figure says that so many pieces fall into one place, {@code #} that more than nine do, and
 * {@code x} that an outlier is among them. The scale of the residuals is the same up and down.
 */
public final class ResidualPlot {

  private static final int WIDTH = 76;
  private static final int LABEL = 13;
  private static final int COLUMNS = WIDTH - LABEL;

  /** Odd, so that zero has a row of its own. */
  private static final int ROWS = 13;

  private static final int MIDDLE = ROWS / 2;

  private final Findings findings;
  private final double unitMm;
  private final int decimals;

  /**
   * Plots findings.
   *
   * @param unitMm how many millimetres the unit has that labels are in
   * @param decimals how many decimals of a residual matter
   */
  public ResidualPlot(Findings findings, double unitMm, int decimals) {
    this.findings = findings;
    this.unitMm = unitMm;
    this.decimals = decimals;
  }

  /** Returns the lines of the plot. */
  public List<String> lines() {
    double reachMm = 0;
    double fromMm = Double.POSITIVE_INFINITY;
    double toMm = Double.NEGATIVE_INFINITY;
    for (MeasuredPiece piece : findings.pieces()) {
      reachMm = Math.max(reachMm, Math.abs(findings.fit().residualMm(piece)));
      fromMm = Math.min(fromMm, piece.target().toReadingMm());
      toMm = Math.max(toMm, piece.target().toReadingMm());
    }
    int[][] pieces = new int[ROWS][COLUMNS];
    boolean[][] outlier = new boolean[ROWS][COLUMNS];
    for (MeasuredPiece piece : findings.pieces()) {
      double up = reachMm == 0 ? 0 : findings.fit().residualMm(piece) / reachMm;
      double along = (piece.target().toReadingMm() - fromMm) / (toMm - fromMm);
      int row = MIDDLE - (int) Math.round(up * MIDDLE);
      int column = (int) Math.round(along * (COLUMNS - 1));
      pieces[row][column]++;
      outlier[row][column] |= findings.outliers().contains(piece);
    }
    String[] lines = new String[ROWS + 2];
    for (int row = 0; row < ROWS; row++) {
      lines[row] = label(row, reachMm) + row(pieces[row], outlier[row], row == MIDDLE);
    }
    lines[ROWS] = " ".repeat(LABEL - 2) + " +" + "-".repeat(COLUMNS);
    lines[ROWS + 1] = axis(fromMm, toMm);
    return Arrays.asList(lines);
  }

  private String label(int row, double reachMm) {
    String text =
        switch (row) {
          case 0 -> number(reachMm, "%+." + decimals + "f");
          case MIDDLE -> "0";
          case ROWS - 1 -> number(-reachMm, "%+." + decimals + "f");
          default -> "";
        };
    return String.format(Locale.ROOT, "%" + (LABEL - 2) + "s |", text);
  }

  private static String row(int[] pieces, boolean[] outlier, boolean zero) {
    StringBuilder text = new StringBuilder();
    for (int column = 0; column < COLUMNS; column++) {
      text.append(mark(pieces[column], outlier[column], zero ? '-' : ' '));
    }
    return text.toString().stripTrailing();
  }

  private static char mark(int pieces, boolean outlier, char nothing) {
    if (outlier) {
      return 'x';
    }
    if (pieces > 9) {
      return '#';
    }
    return pieces == 0 ? nothing : pieces == 1 ? 'o' : (char) ('0' + pieces);
  }

  private String axis(double fromMm, double toMm) {
    String from = number(fromMm, "%.1f");
    String to = number(toMm, "%.1f");
    int gap = Math.max(1, COLUMNS - from.length() - to.length());
    return " ".repeat(LABEL) + from + " ".repeat(gap) + to;
  }

  private String number(double mm, String format) {
    return String.format(Locale.ROOT, format, mm / unitMm);
  }
}
