package org.kerftally.daemon.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.math.BigDecimal;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.shared.geometry.MeasuredPiece;

final class LineFitTest {

  /** More than the ten digits that are promised: the certified values have fifteen. */
  private static void assertCertified(double value, double certified) {
    assertThat(value).isCloseTo(certified, within(Math.abs(certified) * 1e-13));
  }

  /** NIST StRD, linear regression, data set Norris: certified values. */
  @Test
  void theCertifiedValuesOfAReferenceDataSetAreReproduced() throws IOException {
    LineFit fit = LineFit.of(Pieces.norris());

    assertThat(fit.pieces()).isEqualTo(36);
    assertThat(fit.degreesOfFreedom()).isEqualTo(34);
    assertCertified(fit.offsetMm(), -0.262323073774029);
    assertCertified(fit.scatter().offsetSeMm(), 0.232818234301152);
    assertCertified(fit.scale(), 1.00211681802045);
    assertCertified(fit.scatter().scaleSe(), 0.429796848199937E-03);
    assertCertified(fit.scatter().residualSdMm(), 0.884796396144373);
    assertCertified(fit.rSquared(), 0.999993745883712);
  }

  /**
   * Targets a few nanometres apart, a hundred metres out: in doubles the sums of squares are 1e22
   * and agree in all their digits. By hand: x = 0, 1, 2, 3 and y = 0, 1, 2, 4 (from the first piece
   * on) have scale 1.3, SSE 0.3, R² = 1.3² · 5 / 8.75.
   */
  @Test
  void noDigitIsLostWhereTargetsAreNearlyTheSame() {
    long far = 99_999_999_990L;
    LineFit fit =
        LineFit.of(Pieces.ofNm(far, far, far + 1, far + 1, far + 2, far + 2, far + 3, far + 4));

    assertCertified(fit.scale(), 1.3);
    assertCertified(fit.scatter().residualSdMm(), Math.sqrt(0.15) / 1e6);
    assertCertified(fit.scatter().scaleSe(), Math.sqrt(0.15 / 5));
    assertCertified(fit.rSquared(), 1.69 * 5 / 8.75);
    // mean of y − 1.3 · mean of x
    assertCertified(fit.offsetMm(), (far + 1.75 - 1.3 * (far + 1.5)) / 1e6);
  }

  /** The normal equations, which define least squares: Σ e = 0 and Σ x e = 0. */
  @Test
  void residualsSumToNothingByThemselvesAndWithTheirTargets() {
    SplittableRandom random = new SplittableRandom(20270301);
    for (int round = 0; round < 200; round++) {
      List<MeasuredPiece> pieces = Pieces.scattered(random, 3 + random.nextInt(40), 0.3);
      LineFit fit = LineFit.of(pieces);
      BigDecimal sum = BigDecimal.ZERO;
      BigDecimal moment = BigDecimal.ZERO;
      BigDecimal squares = BigDecimal.ZERO;
      for (MeasuredPiece piece : pieces) {
        BigDecimal residual = fit.residualNm(piece);
        sum = sum.add(residual);
        moment = moment.add(residual.multiply(BigDecimal.valueOf(piece.target().nm())));
        squares = squares.add(residual.multiply(residual));
      }
      assertThat(sum.abs()).isLessThan(new BigDecimal("1e-30"));
      assertThat(moment.abs()).isLessThan(new BigDecimal("1e-20"));
      assertThat(squares.subtract(fit.squaredErrorsNm2()).abs())
          .isLessThan(new BigDecimal("1e-20"));
    }
  }

  @Test
  void theLeveragesOfThePiecesSumToTwo() throws IOException {
    List<MeasuredPiece> pieces = Pieces.norris();
    LineFit fit = LineFit.of(pieces);

    double sum =
        pieces.stream().mapToDouble(piece -> fit.leverage(piece.target()).doubleValue()).sum();

    assertThat(sum).isCloseTo(2, within(1e-12));
  }

  @Test
  void twoPiecesGiveALineAndNoScatter() {
    LineFit fit = LineFit.of(Pieces.ofNm(500_000_000, 500_600_000, 1_000_000_000, 1_000_700_000));

    assertThat(fit.scale()).isEqualTo(1.0002);
    assertThat(fit.offsetMm()).isEqualTo(0.5);
    assertThat(fit.scatter()).isNull();
  }

  @Test
  void piecesOfOneTargetDetermineNoLine() {
    List<MeasuredPiece> same = Pieces.ofNm(500, 501, 500, 502, 500, 503);

    assertThat(LineFit.isDetermined(same)).isFalse();
    assertThat(LineFit.isDetermined(List.of())).isFalse();
    assertThatThrownBy(() -> LineFit.of(same)).isInstanceOf(IllegalArgumentException.class);
  }

  /** NIST/SEMATECH e-Handbook, 1.3.6.7.2, column 0.975. */
  @ParameterizedTest
  @CsvSource({"1, 12.706", "2, 4.303", "5, 2.571", "10, 2.228", "34, 2.032", "100, 1.984"})
  void criticalValuesAreThoseOfThePublishedTable(int degreesOfFreedom, double critical) {
    assertThat(StudentT.twoSided(0.05, degreesOfFreedom)).isCloseTo(critical, within(0.0006));
  }
}
