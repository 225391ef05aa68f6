package org.kerftally.shared.geometry;

import org.kerftally.shared.length.Length;

/**
 * Says how fast a stop moves: from rest to rest by a trapezoid of speed over time.
 *
 * <p>With top speed v and acceleration a, a way d of at least v²/a takes v/a + d/v; a shorter one
 * never reaches v and takes 2·√(d/a). These are the equations of uniformly accelerated motion. A
 * time comes out as whole milliseconds, rounded up, so that sums of times are exact.
 *
 * @param topSpeed the way covered in one second at top speed, more than zero
 * @param acceleration the speed gained in one second, as way a second, more than zero
 * @param settlingMillis how long the stop takes to stand still after a move
 */
public record StopMotion(Length topSpeed, Length acceleration, long settlingMillis) {

  /**
   * A light positioner, where nothing is said: 1 m/s, 2 m/s², 150 ms to settle. Chosen, not taken
   * from a machine; orders found with it are good for any profile of that shape.
   */
  public static final StopMotion LIGHT = new StopMotion(Length.ofMm(1000), Length.ofMm(2000), 150);

  private static final double MILLIS_A_SECOND = 1000;

  /** Checks the ranges. */
  public StopMotion {
    if (!topSpeed.isPositive() || !acceleration.isPositive() || settlingMillis < 0) {
      throw new IllegalArgumentException(
          "speed and acceleration must be more than zero, settling not less: "
              + topSpeed
              + ", "
              + acceleration
              + ", "
              + settlingMillis);
    }
  }

  /** Returns how long a move between two positions takes; 0 where they are the same. */
  public long millis(Length from, Length to) {
    double way = to.minus(from).abs().nm();
    if (way == 0) {
      return 0;
    }
    double v = topSpeed.nm();
    double a = acceleration.nm();
    double seconds = way >= v * v / a ? v / a + way / v : 2 * Math.sqrt(way / a);
    return settlingMillis + (long) Math.ceil(seconds * MILLIS_A_SECOND);
  }
}
