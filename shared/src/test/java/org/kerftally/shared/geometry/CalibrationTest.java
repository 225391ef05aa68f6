package org.kerftally.shared.geometry;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.shared.SeededCases;
import org.kerftally.shared.length.Length;

final class CalibrationTest {

  private static final Length MICROMETRE = Length.ofNm(1_000);

  @Test
  void aTruePositionerIsAskedForTheLengthItself() {
    assertThat(Calibration.TRUE.toPosition(Length.ofMm(505))).isEqualTo(Length.ofMm(505));
    assertThat(Calibration.TRUE.toLength(Length.ofMm(505))).isEqualTo(Length.ofMm(505));
  }

  /** Worked out by hand: position = (length − offset) / scale. */
  @ParameterizedTest
  @CsvSource({
    "505000000, 2500000, 1, 502500000",
    "505000000, -2500000, 1, 507500000",
    "505000000, 5000000, 1.25, 400000000",
    "505000000, 0, 0.5, 1010000000",
    "0, 5000000, 1, -5000000",
  })
  void offsetAndScaleAreTakenOut(long wantedNm, long offsetNm, String scale, long positionNm) {
    Calibration calibration =
        new Calibration(Length.ofNm(offsetNm), new BigDecimal(scale), MICROMETRE);
    assertThat(calibration.toPosition(Length.ofNm(wantedNm))).isEqualTo(Length.ofNm(positionNm));
    assertThat(calibration.toLength(Length.ofNm(positionNm))).isEqualTo(Length.ofNm(wantedNm));
  }

  @ParameterizedTest
  @CsvSource({
    "499, 0",
    "500, 0",
    "501, 1000",
    "1499, 1000",
    "1500, 2000",
    "2500, 2000",
    "2501, 3000",
    "-500, 0",
    "-1500, -2000",
    "-2500, -2000",
  })
  void positionsAreRoundedToTheResolutionHalfToEven(long wantedNm, long positionNm) {
    assertThat(Calibration.TRUE.toPosition(Length.ofNm(wantedNm)).nm()).isEqualTo(positionNm);
  }

  @ParameterizedTest
  @CsvSource({"1, 0", "3, 2", "5, 2", "7, 4", "-1, 0", "-3, -2"})
  void lengthsAreRoundedToANanometreHalfToEven(long positionNm, long lengthNm) {
    Calibration half = new Calibration(Length.ZERO, new BigDecimal("0.5"), Length.ofNm(1));
    assertThat(half.toLength(Length.ofNm(positionNm)).nm()).isEqualTo(lengthNm);
  }

  /** A device that reads 20.354720 in stands at 517.009888 mm; nobody reads a nanometre. */
  @Test
  void whatPeopleReadIsAtTheBladeAndToTheResolution() {
    Calibration calibration =
        new Calibration(Length.ofMm(-10), BigDecimal.ONE, Length.ofNm(10_000));

    assertThat(calibration.readAt(Length.ofNm(517_009_888))).isEqualTo(Length.ofNm(507_010_000));
    assertThat(calibration.readAt(Length.ofNm(-4_996))).isEqualTo(Length.ofNm(-10_000_000));
    assertThat(calibration.readAt(Length.ofNm(-5_004))).isEqualTo(Length.ofNm(-10_010_000));
    assertThat(calibration.readAt(Length.ofNm(Long.MIN_VALUE + 1))).isNull();
  }

  @Test
  void thereAndBackIsWithinHalfAStepAndOnTheGrid() {
    SeededCases.run(
        10_000,
        random -> {
          BigDecimal scale = BigDecimal.valueOf(900_000 + random.nextInt(200_000), 6);
          Length resolution = Length.ofNm(1 + random.nextInt(100_000));
          Length offset = Length.ofNm(random.nextLong(-50_000_000L, 50_000_000L));
          Calibration calibration = new Calibration(offset, scale, resolution);
          Length wanted = Length.ofNm(random.nextLong(6_000_000_000L));

          Length position = calibration.toPosition(wanted);
          assertThat(position.nm() % resolution.nm()).isZero();

          // Half a step of the device, as a length, and half a nanometre for the last rounding.
          BigDecimal bound =
              scale
                  .multiply(BigDecimal.valueOf(resolution.nm()))
                  .add(BigDecimal.ONE)
                  .divide(BigDecimal.valueOf(2));
          Length error = calibration.toLength(position).minus(wanted).abs();
          assertThat(BigDecimal.valueOf(error.nm())).isLessThanOrEqualTo(bound);
        });
  }

  @Test
  void refusesAScaleOrResolutionThatTurnsNothing() {
    assertRefused(BigDecimal.ZERO, MICROMETRE);
    assertRefused(BigDecimal.valueOf(-1), MICROMETRE);
    assertRefused(BigDecimal.ONE, Length.ZERO);
    assertRefused(BigDecimal.ONE, Length.ofNm(-1));
  }

  @Test
  void refusesToOverflow() {
    Calibration fine = new Calibration(Length.ZERO, new BigDecimal("0.000000001"), Length.ofNm(1));
    Length farAway = Length.ofNm(Long.MAX_VALUE);
    assertThatThrownBy(() -> fine.toPosition(farAway)).isInstanceOf(ArithmeticException.class);
    Calibration coarse = new Calibration(Length.ZERO, BigDecimal.TEN, Length.ofNm(1));
    assertThatThrownBy(() -> coarse.toLength(farAway)).isInstanceOf(ArithmeticException.class);
  }

  private static void assertRefused(BigDecimal scale, Length resolution) {
    assertThatThrownBy(() -> new Calibration(Length.ZERO, scale, resolution))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("more than zero");
  }
}
