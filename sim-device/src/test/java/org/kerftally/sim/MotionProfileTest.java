package org.kerftally.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.shared.length.Length;

class MotionProfileTest {
  private static final MotionProfile PROFILE = MotionProfile.STANDARD;

  /**
   * Uniformly accelerated motion from rest to rest, as in any handbook of kinematics: with v = 1
   * m/s and a = 2 m/s² the change from triangle to trapezoid is at v²/a = 500 mm; below it the move
   * takes 2·√(d/a), above it v/a + d/v. The times are worked out by hand.
   */
  @ParameterizedTest
  @CsvSource({
    "0, 0",
    "2, 63245554", // 2·√(0.002/2) s = 0.0632455532 s
    "125, 500000000", // 2·√(0.125/2) s = 0.5 s
    "500, 1000000000", // both formulas: 1 s
    "1000, 1500000000", // 0.5 s + 1 s
    "6000, 6500000000" // 0.5 s + 6 s
  })
  void takesTheTimeOfTheClosedForm(long mm, long nanos) {
    assertThat(PROFILE.travelNanos(Length.ofMm(mm))).isCloseTo(nanos, within(1L));
    assertThat(PROFILE.travelNanos(Length.ofMm(-mm))).isCloseTo(nanos, within(1L));
  }

  /**
   * Steps the velocity by the acceleration in small slices of time, knowing only when to brake, and
   * so finds the time of a move without the closed form.
   */
  @Test
  void agreesWithANumericalIntegrationOfTheVelocity() {
    SplittableRandom random = new SplittableRandom(42);
    for (int i = 0; i < 40; i++) {
      double v = random.nextDouble(200, 2000);
      double a = random.nextDouble(500, 8000);
      double d = random.nextDouble(1, 6000);
      MotionProfile profile = withoutLag(v, a);
      double integrated = integrate(v, a, d);
      double closed = profile.travelNanos(mm(d)) / 1e9;
      assertThat(closed)
          .as("v=%s mm/s, a=%s mm/s², d=%s mm", v, a, d)
          .isCloseTo(integrated, within(0.01 * integrated + 1e-3));
    }
  }

  private static double integrate(double v, double a, double d) {
    double slice = 1e-5;
    double at = 0;
    double speed = 0;
    double time = 0;
    while (at < d && time < 100) {
      boolean brake = speed * speed / (2 * a) >= d - at;
      speed = brake ? speed - a * slice : Math.min(v, speed + a * slice);
      if (speed <= 0) {
        break;
      }
      at += speed * slice;
      time += slice;
    }
    return time;
  }

  @Test
  void neverExceedsTopSpeedOrAccelerationAndEndsAtTheDistance() {
    MotionProfile profile = withoutLag(1000, 2000);
    for (long mm : new long[] {3, 300, 500, 2500}) {
      long total = profile.travelNanos(Length.ofMm(mm));
      long slice = 1_000_000;
      double before = 0;
      double speedBefore = 0;
      for (long t = slice; t <= total; t += slice) {
        double at = profile.travelled(Length.ofMm(mm), t).toReadingMm();
        double speed = (at - before) / 1e-3;
        assertThat(speed).isBetween(0.0, 1000.001);
        assertThat(Math.abs(speed - speedBefore)).isLessThanOrEqualTo(2000 * 1e-3 + 0.01);
        before = at;
        speedBefore = speed;
      }
      assertThat(profile.travelled(Length.ofMm(mm), total).toReadingMm())
          .isCloseTo((double) mm, within(1e-3));
    }
  }

  /** A position loop's following error is speed times lag: 1 m/s · 5 ms = 5 mm. */
  @Test
  void followsLateByTheLag() {
    Length way = Length.ofMm(3000);
    double late = PROFILE.travelled(way, 1_000_000_000L).toReadingMm();
    double onTime = withoutLag(1000, 2000).travelled(way, 1_000_000_000L).toReadingMm();
    assertThat(onTime - late).isCloseTo(5.0, within(1e-6));
  }

  @Test
  void swingsWithinItsLimitAndIsStillAfterSettling() {
    Length way = Length.ofMm(3000);
    long end = PROFILE.moveNanos(way);
    boolean swung = false;
    for (long t = end - PROFILE.settling().toNanos(); t < end; t += 1_000_000) {
      double off = PROFILE.travelled(way, t).toReadingMm() - 3000;
      assertThat(Math.abs(off)).isLessThanOrEqualTo(0.3);
      swung |= Math.abs(off) > 0.1;
    }
    assertThat(swung).isTrue();
    assertThat(PROFILE.travelled(way, end)).isEqualTo(way);
    assertThat(PROFILE.travelled(way, Long.MAX_VALUE)).isEqualTo(way);
  }

  @Test
  void movesBackTheSameWay() {
    for (long t = 0; t < 2_000_000_000L; t += 7_000_000) {
      Length there = PROFILE.travelled(Length.ofMm(700), t);
      Length back = PROFILE.travelled(Length.ofMm(-700), t);
      assertThat(back).isEqualTo(Length.ZERO.minus(there));
    }
  }

  @Test
  void roundsToTheNearestStep() {
    assertThat(PROFILE.rounded(Length.ofNm(1_234_999))).isEqualTo(Length.ofNm(1_230_000));
    assertThat(PROFILE.rounded(Length.ofNm(1_235_000))).isEqualTo(Length.ofNm(1_240_000));
    assertThat(PROFILE.rounded(Length.ofNm(-1_234_999))).isEqualTo(Length.ofNm(-1_230_000));
  }

  @Test
  void refusesFiguresThatCannotBe() {
    assertThatThrownBy(() -> withoutLag(0, 1)).hasMessageContaining("must be positive");
    Length window = Length.ofNm(100_000);
    assertThatThrownBy(
            () ->
                new MotionProfile(
                    window,
                    window,
                    Duration.ZERO,
                    Duration.ZERO,
                    Duration.ZERO,
                    Length.ofNm(1),
                    window,
                    window))
        .hasMessageContaining("do not fit the window");
  }

  private static MotionProfile withoutLag(double v, double a) {
    return new MotionProfile(
        mm(v),
        mm(a),
        Duration.ZERO,
        Duration.ZERO,
        Duration.ZERO,
        PROFILE.resolution(),
        PROFILE.window(),
        PROFILE.repeatability());
  }

  private static Length mm(double mm) {
    return Length.ofReadingMm(mm);
  }
}
