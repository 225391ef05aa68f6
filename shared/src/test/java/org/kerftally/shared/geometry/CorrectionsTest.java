package org.kerftally.shared.geometry;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.shared.SeededCases;
import org.kerftally.shared.geometry.Corrections.Point;
import org.kerftally.shared.length.Length;

final class CorrectionsTest {

  private static Point point(long atNm, long addNm) {
    return new Point(Length.ofNm(atNm), Length.ofNm(addNm));
  }

  private static Calibration calibration(Corrections corrections) {
    return new Calibration(Length.ZERO, BigDecimal.ONE, Length.ofNm(1), corrections);
  }

  /** Points at −20 000 to 6 000 000 000 nm, as steep as allowed here and there. */
  private static Corrections table(SplittableRandom random) {
    int count = random.nextInt(1, Corrections.MAX_POINTS + 1);
    List<Point> points = new ArrayList<>();
    long at = random.nextLong(-20_000, 100_000_000);
    long add = random.nextLong(-5_000_000, 5_000_000);
    for (int i = 0; i < count; i++) {
      points.add(point(at, add));
      long gap = random.nextInt(4) == 0 ? random.nextLong(1, 10) : random.nextLong(1, 30_000_000);
      at += gap;
      add += random.nextBoolean() ? random.nextLong(-(gap / 2), gap / 2 + 1) : gap / 2;
    }
    return new Corrections(points);
  }

  /** Worked out by hand: 0 at 100, −20 at 200, 30 at 300. */
  @ParameterizedTest
  @CsvSource({
    "-50, -50",
    "0, 0",
    "100, 100",
    "150, 140",
    "200, 180",
    "220, 210",
    "250, 255",
    "300, 330",
    "1000, 1030",
  })
  void aLengthIsCorrectedByItsPlaceBetweenTwoPoints(long straightNm, long lengthNm) {
    Calibration calibration =
        calibration(new Corrections(List.of(point(100, 0), point(200, -20), point(300, 30))));

    assertThat(calibration.toLength(Length.ofNm(straightNm)).nm()).isEqualTo(lengthNm);
    assertThat(calibration.toPosition(Length.ofNm(lengthNm)).nm()).isEqualTo(straightNm);
  }

  /** 1/3 of 1 and 3/2 lie between whole nanometres: rounded once, at the end, half to even. */
  @Test
  void whatLiesBetweenWholeNanometresIsRoundedHalfToEven() {
    Calibration half = calibration(new Corrections(List.of(point(0, 0), point(6, 3))));

    assertThat(half.toLength(Length.ofNm(1)).nm()).isEqualTo(2);
    assertThat(half.toLength(Length.ofNm(3)).nm()).isEqualTo(4);
    assertThat(half.toPosition(Length.ofNm(2)).nm()).isEqualTo(1);
    assertThat(half.toPosition(Length.ofNm(4)).nm()).isEqualTo(3);
    assertThat(half.toPosition(Length.ofNm(9)).nm()).isEqualTo(6);
  }

  @Test
  void onePointShiftsAllLengths() {
    Calibration shifted = calibration(new Corrections(List.of(point(500, 7))));

    assertThat(shifted.toLength(Length.ofNm(-3)).nm()).isEqualTo(4);
    assertThat(shifted.toPosition(Length.ofNm(4)).nm()).isEqualTo(-3);
  }

  @Test
  void aTableOfNothingChangesNothing() {
    Corrections nothing = new Corrections(List.of(point(0, 0), point(7, 0), point(3_000, 0)));
    SeededCases.run(
        10_000,
        random -> {
          Calibration straight = random(random, Corrections.NONE);
          Calibration same =
              new Calibration(straight.offset(), straight.scale(), straight.resolution(), nothing);
          Length length = Length.ofNm(random.nextLong(-10_000, 6_000_000_000L));

          assertThat(same.toPosition(length)).isEqualTo(straight.toPosition(length));
          assertThat(same.toLength(length)).isEqualTo(straight.toLength(length));
          assertThat(straight.toPosition(length)).isEqualTo(positionByFormula(straight, length));
          assertThat(straight.toLength(length)).isEqualTo(lengthByFormula(straight, length));
        });
  }

  /** The formulas without a table, by themselves. */
  private static Length positionByFormula(Calibration line, Length wanted) {
    BigDecimal step = line.scale().multiply(BigDecimal.valueOf(line.resolution().nm()));
    return line.resolution()
        .times(
            BigDecimal.valueOf(wanted.minus(line.offset()).nm())
                .divide(step, 0, RoundingMode.HALF_EVEN)
                .longValueExact());
  }

  private static Length lengthByFormula(Calibration line, Length position) {
    return Length.ofNm(
            line.scale()
                .multiply(BigDecimal.valueOf(position.nm()))
                .setScale(0, RoundingMode.HALF_EVEN)
                .longValueExact())
        .plus(line.offset());
  }

  private static Calibration random(SplittableRandom random, Corrections corrections) {
    return new Calibration(
        Length.ofNm(random.nextLong(-50_000_000L, 50_000_000L)),
        BigDecimal.valueOf(900_000 + random.nextInt(200_000), 6),
        Length.ofNm(1 + random.nextInt(100_000)),
        corrections);
  }

  @Test
  void undoingACorrectionGivesExactlyTheLengthBefore() {
    SeededCases.run(
        2_000,
        random -> {
          Corrections corrections = table(random);
          BigDecimal length = BigDecimal.valueOf(random.nextLong(-1_000_000, 4_000_000_000L), 3);

          Corrections.Fraction there = corrections.correct(length);
          // A fraction need not be a decimal; a point beyond 60 digits is the same segment.
          BigDecimal corrected =
              there.numerator().divide(there.denominator(), new java.math.MathContext(60));
          Corrections.Fraction back = corrections.undo(corrected);
          BigDecimal error = back.numerator().subtract(length.multiply(back.denominator())).abs();
          assertThat(error).isLessThan(new BigDecimal("1e-30"));
        });
  }

  @Test
  void thereAndBackIsWithinHalfAStepAndOnTheGrid() {
    SeededCases.run(
        5_000,
        random -> {
          Calibration calibration = random(random, table(random));
          Length wanted = Length.ofNm(random.nextLong(6_000_000_000L));

          Length position = calibration.toPosition(wanted);
          assertThat(position.nm() % calibration.resolution().nm()).isZero();

          // A corrected length grows at most 1.5 times as fast as the length before.
          BigDecimal bound =
              calibration
                  .scale()
                  .multiply(BigDecimal.valueOf(calibration.resolution().nm()))
                  .multiply(new BigDecimal("1.5"))
                  .add(BigDecimal.ONE)
                  .divide(BigDecimal.valueOf(2));
          Length error = calibration.toLength(position).minus(wanted).abs();
          assertThat(BigDecimal.valueOf(error.nm())).isLessThanOrEqualTo(bound);
        });
  }

  /** By the definition, slowly: of all positions near by, none has a length that is nearer. */
  @Test
  void thePositionAskedForIsTheNearestThereIs() {
    SeededCases.run(
        500,
        random -> {
          Calibration calibration = random(random, table(random));
          Length wanted = Length.ofNm(random.nextLong(6_000_000_000L));
          Length position = calibration.toPosition(wanted);
          Length low = calibration.toLength(position.minus(calibration.resolution()));
          Length high = calibration.toLength(position.plus(calibration.resolution()));

          assertThat(low).isLessThanOrEqualTo(wanted);
          assertThat(high).isGreaterThanOrEqualTo(wanted);
        });
  }

  @Test
  void aLongerPositionNeverHasAShorterLength() {
    SeededCases.run(
        500,
        random -> {
          Calibration calibration = random(random, table(random));
          List<Length> positions = new ArrayList<>();
          for (int i = 0; i < 50; i++) {
            positions.add(Length.ofNm(random.nextLong(6_000_000_000L)));
          }
          Collections.sort(positions);
          assertThat(positions.stream().map(calibration::toLength).toList()).isSorted();
          assertThat(positions.stream().map(calibration::toPosition).toList()).isSorted();
        });
  }

  @Test
  void pointsOutOfOrderTooSteepOrTooManyAreRefused() {
    assertRefused(List.of(point(5, 0), point(5, 0)));
    assertRefused(List.of(point(5, 0), point(4, 0)));
    assertRefused(List.of(point(0, 0), point(10, 6)));
    assertRefused(List.of(point(0, 6), point(10, 0)));
    List<Point> many = new ArrayList<>();
    for (int i = 0; i <= Corrections.MAX_POINTS; i++) {
      many.add(point(i, 0));
    }
    assertRefused(many);
    assertThat(new Corrections(List.of(point(0, 0), point(10, 5), point(20, 0))).points())
        .hasSize(3);
  }

  private static void assertRefused(List<Point> points) {
    assertThatThrownBy(() -> new Corrections(points)).isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void lengthsBeyondAllSawsDoNotWrapAround() {
    Calibration calibration = calibration(new Corrections(List.of(point(0, 0), point(4, 2))));

    assertThatThrownBy(() -> calibration.toLength(Length.ofNm(Long.MAX_VALUE)))
        .isInstanceOf(ArithmeticException.class);
    assertThat(calibration.toPosition(Length.ofNm(Long.MAX_VALUE)).nm())
        .isEqualTo(BigInteger.valueOf(Long.MAX_VALUE).subtract(BigInteger.TWO).longValueExact());
  }
}
