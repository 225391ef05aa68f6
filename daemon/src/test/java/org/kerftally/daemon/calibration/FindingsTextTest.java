package org.kerftally.daemon.calibration;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;

final class FindingsTextTest {

  private static final int PLOT_LINES = 15;

  private static List<String> plot(List<MeasuredPiece> pieces) {
    return new ResidualPlot(Findings.of(pieces, false, false, Calibration.TRUE), 1, 3).lines();
  }

  @ParameterizedTest
  @ValueSource(ints = {2, 3, 10, 200, 5_000})
  void aPlotIsAsWideAndHighWhateverTheNumberOfPieces(int count) {
    List<String> lines = plot(Pieces.scattered(new SplittableRandom(count), count, 0.2));

    assertThat(lines).hasSize(PLOT_LINES);
    assertThat(lines).allMatch(line -> line.length() <= 76);
    assertThat(lines).allMatch(line -> line.chars().allMatch(c -> c >= ' ' && c < 127));
    assertThat(lines.get(13)).hasSize(76);
  }

  /** Residuals of 0, 0.05, −0.1, 0.05 mm at 100, 200, 300, 400: read off the rows by hand. */
  @Test
  void pointsStandWhereTheirResidualsAre() {
    long mm = 1_000_000;
    List<String> lines =
        plot(
            Pieces.ofNm(
                100 * mm,
                100 * mm + 100_000,
                200 * mm,
                200 * mm - 100_000,
                300 * mm,
                300 * mm - 100_000,
                400 * mm,
                400 * mm + 100_000));

    assertThat(lines.get(0)).startsWith("     +0.100 |o").endsWith("o").hasSize(76);
    assertThat(lines.get(6)).isEqualTo("          0 |" + "-".repeat(63));
    assertThat(lines.get(12).substring(13).replace(" ", "")).isEqualTo("oo");
    assertThat(lines.get(12)).startsWith("     -0.100 |");
    assertThat(lines.get(14).strip()).startsWith("100.0 ").endsWith(" 400.0");
  }

  @Test
  void piecesInOnePlaceAreCounted() {
    List<String> lines = plot(Pieces.ofNm(0, 0, 0, 0, 0, 0, 1_000_000_000, 1_000_000_000));

    assertThat(lines.get(6)).startsWith("          0 |3-").endsWith("-o");
  }

  @Test
  void anOutlierIsMarkedInListAndPlot() {
    List<MeasuredPiece> pieces =
        Pieces.with(Pieces.scattered(new SplittableRandom(8), 20, 0.02), 5, Length.ofNm(2_000_000));
    Findings findings = Findings.of(pieces, true, false, Calibration.TRUE);

    List<String> lines = FindingsText.lines(findings, LengthUnit.MM, null);

    assertThat(lines).contains("Left out of the line, as asked.");
    assertThat(lines).anyMatch(line -> line.startsWith("Outlier: line 7 (generalized extreme"));
    assertThat(lines).anyMatch(line -> line.startsWith("      7 ") && line.endsWith("outlier"));
    assertThat(lines).anyMatch(line -> line.contains("|") && line.contains("x"));
    assertThat(findings.fit().pieces()).isEqualTo(19);
  }

  @Test
  void aLongListIsCutToTheGreatestResiduals() {
    List<MeasuredPiece> pieces =
        Pieces.with(
            Pieces.scattered(new SplittableRandom(9), 200, 0.02), 150, Length.ofNm(2_000_000));

    List<String> lines =
        FindingsText.lines(
            Findings.of(pieces, false, false, Calibration.TRUE),
            LengthUnit.MM,
            Length.ofNm(100_000));

    assertThat(lines).contains("The 40 greatest residuals of 200:");
    assertThat(lines).anyMatch(line -> line.startsWith("    152 "));
    assertThat(lines).hasSizeLessThan(80);
  }
}
