package org.kerftally.shared.geometry;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import org.kerftally.shared.length.Length;

/**
 * Turns a wanted length into a device position and back: length = offset + scale · position.
 *
 * <p>Both ways are computed in exact decimals and rounded once, half to even: a position to the
 * device's resolution, a length to a whole nanometre.
 *
 * @param offset the length at device position zero
 * @param scale the length gained per unit of device position, more than zero; 1 when true
 * @param resolution the device's smallest step, more than zero
 */
public record Calibration(Length offset, BigDecimal scale, Length resolution) {

  /** A positioner that reads true, with a resolution of one micrometre. */
  public static final Calibration TRUE =
      new Calibration(Length.ZERO, BigDecimal.ONE, Length.ofNm(1_000));

  /** Checks the ranges. */
  public Calibration {
    if (scale.signum() <= 0 || !resolution.isPositive()) {
      throw new IllegalArgumentException("scale and resolution must be more than zero");
    }
  }

  /** Returns the position to ask for, a multiple of the resolution. */
  public Length toPosition(Length wanted) {
    BigDecimal step = scale.multiply(BigDecimal.valueOf(resolution.nm()));
    BigInteger steps =
        BigDecimal.valueOf(wanted.minus(offset).nm())
            .divide(step, 0, RoundingMode.HALF_EVEN)
            .toBigIntegerExact();
    return resolution.times(steps.longValueExact());
  }

  /** Returns the length that a device position stands for. */
  public Length toLength(Length position) {
    BigDecimal nm = scale.multiply(BigDecimal.valueOf(position.nm()));
    return Length.ofNm(nm.setScale(0, RoundingMode.HALF_EVEN).longValueExact()).plus(offset);
  }
}
