package org.kerftally.sim;

import java.time.Duration;
import org.kerftally.shared.length.Length;

/**
 * Describes how the stop moves: a trapezoidal velocity profile from rest to rest.
 *
 * <p>With top speed {@code v}, acceleration {@code a} (the same for slowing down) and distance
 * {@code d}: speeding up takes {@code v/a} and covers {@code v²/2a}, slowing down the same. When
 * {@code d ≥ v²/a} the rest, {@code d − v²/a}, is covered at {@code v}, so the move takes {@code
 * 2v/a + (d − v²/a)/v = v/a + d/v}. A shorter move never reaches {@code v}: half the distance is
 * covered in {@code t/2} from rest, {@code d/2 = a(t/2)²/2}, so it takes {@code t = 2·√(d/a)}.
 * These are the equations of uniformly accelerated motion found in any handbook of kinematics.
 *
 * <p>The actual position follows the profile late by {@code followingLag}, as a drive with a
 * proportional position loop does; its following error is then speed times lag. After the profile
 * has ended the stop swings once within {@code settling} and stands still, somewhere within {@code
 * repeatability} of where it should, rounded to {@code resolution}.
 *
 * <p>Inside this class distances are doubles in nanometres, for this is the physics of a device and
 * not a length of the project; what leaves it is a {@link Length} again.
 *
 * @param topSpeed the distance covered in one second at top speed, positive
 * @param acceleration the speed gained in one second, as distance a second, positive
 * @param followingLag how late the actual position follows the commanded one
 * @param settling how long the stop swings after a move
 * @param homing how long the drive looks for its reference after power-up
 * @param resolution the smallest step of the position, positive
 * @param window how far from the target the stop may stand and still count as there
 * @param repeatability how far from the commanded position the stop may come to rest, less than
 *     {@code window}
 */
public record MotionProfile(
    Length topSpeed,
    Length acceleration,
    Duration followingLag,
    Duration settling,
    Duration homing,
    Length resolution,
    Length window,
    Length repeatability) {

  /**
   * A light positioner: 1 m/s, 2 m/s², 5 ms lag, 150 ms settling, 3 s homing, steps of 0.01 mm, a
   * window of 0.1 mm, repeatable within 0.02 mm. The figures are chosen for the simulation, not
   * taken from a machine.
   */
  public static final MotionProfile STANDARD =
      new MotionProfile(
          Length.ofMm(1000),
          Length.ofMm(2000),
          Duration.ofMillis(5),
          Duration.ofMillis(150),
          Duration.ofSeconds(3),
          Length.ofNm(10_000),
          Length.ofNm(100_000),
          Length.ofNm(20_000));

  private static final double NANOS_PER_SECOND = 1e9;

  /** The most the stop swings beyond its resting place while it settles. */
  private static final double SWING_LIMIT_NM = 300_000;

  /** The part of a move's distance that the stop swings beyond, below the limit. */
  private static final double SWING_PER_DISTANCE = 0.001;

  /** Checks that the figures describe a move that ends. */
  public MotionProfile {
    if (!topSpeed.isPositive() || !acceleration.isPositive() || !resolution.isPositive()) {
      throw new IllegalArgumentException(
          "speed, acceleration and resolution must be positive: "
              + topSpeed
              + ", "
              + acceleration
              + ", "
              + resolution);
    }
    if (repeatability.isNegative() || !repeatability.plus(resolution).isLessThan(window)) {
      throw new IllegalArgumentException(
          "repeatability " + repeatability + " and resolution do not fit the window " + window);
    }
    if (followingLag.isNegative() || settling.isNegative() || homing.isNegative()) {
      throw new IllegalArgumentException("times must not be negative");
    }
  }

  /** Returns how long the commanded profile takes over a distance, rounded up, in nanoseconds. */
  public long travelNanos(Length distance) {
    return (long) Math.ceil(travelSeconds((double) distance.abs().nm()) * NANOS_PER_SECOND);
  }

  /** Returns how long a move takes until the stop stands still and settled, in nanoseconds. */
  public long moveNanos(Length distance) {
    return travelNanos(distance) + followingLag.toNanos() + settling.toNanos();
  }

  /**
   * Returns how far the stop has come on a move over {@code distance}, with the distance's sign.
   * Zero before it starts, {@code distance} once it has settled.
   */
  Length travelled(Length distance, long elapsedNanos) {
    long followed = elapsedNanos - followingLag.toNanos();
    long profileNanos = travelNanos(distance);
    double way = distance.abs().nm();
    double covered =
        followed >= profileNanos
            ? way + swingNm(way, followed - profileNanos)
            : coveredNm(way, followed / NANOS_PER_SECOND);
    return Length.ofNm(Math.round(distance.isNegative() ? -covered : covered));
  }

  /** Returns a position rounded to the nearest step of the resolution. */
  Length rounded(Length position) {
    long step = resolution.nm();
    return Length.ofNm(Math.multiplyExact(Math.floorDiv(position.nm() + step / 2, step), step));
  }

  private double travelSeconds(double way) {
    double v = topSpeed.nm();
    double a = acceleration.nm();
    return way >= v * v / a ? v / a + way / v : 2 * Math.sqrt(way / a);
  }

  private double coveredNm(double way, double seconds) {
    if (seconds <= 0) {
      return 0;
    }
    double a = acceleration.nm();
    double total = travelSeconds(way);
    double ramp = Math.min(topSpeed.nm() / a, total / 2);
    if (seconds < ramp) {
      return a * seconds * seconds / 2;
    }
    if (seconds <= total - ramp) {
      return a * ramp * ramp / 2 + a * ramp * (seconds - ramp);
    }
    double left = Math.max(0, total - seconds);
    return way - a * left * left / 2;
  }

  private double swingNm(double way, long settledNanos) {
    if (settledNanos >= settling.toNanos()) {
      return 0;
    }
    double part = settledNanos / (double) settling.toNanos();
    double limit = Math.min(SWING_LIMIT_NM, way * SWING_PER_DISTANCE);
    return limit * Math.sin(2 * Math.PI * part) * (1 - part);
  }
}
