package org.kerftally.shared.geometry;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Turns a wanted length into a device position and back: straight = offset + scale · position,
 * length = straight + correction(straight).
 *
 * <p>Both ways are computed in exact decimals and rounded once, half to even: a position to the
 * device's resolution, a length to a whole nanometre.
 *
 * @param offset the length at device position zero
 * @param scale the length gained per unit of device position, more than zero; 1 when true
 * @param resolution the device's smallest step, more than zero
 * @param corrections what the straight line leaves over, {@link Corrections#NONE} where it is
 *     enough
 */
public record Calibration(
    Length offset, BigDecimal scale, Length resolution, Corrections corrections) {

  /** A positioner that reads true, with a resolution of one micrometre. */
  public static final Calibration TRUE =
      new Calibration(Length.ZERO, BigDecimal.ONE, Length.ofNm(1_000));

  /** Checks the ranges. */
  public Calibration {
    if (scale.signum() <= 0 || !resolution.isPositive()) {
      throw new IllegalArgumentException("scale and resolution must be more than zero");
    }
  }

  /** Makes a calibration by a straight line. */
  public Calibration(Length offset, BigDecimal scale, Length resolution) {
    this(offset, scale, resolution, Corrections.NONE);
  }

  /** Returns the position to ask for, a multiple of the resolution. */
  public Length toPosition(Length wanted) {
    Corrections.Fraction straight = corrections.undo(BigDecimal.valueOf(wanted.nm()));
    BigDecimal step = scale.multiply(BigDecimal.valueOf(resolution.nm()));
    BigDecimal steps =
        beyondOffset(straight)
            .divide(step.multiply(straight.denominator()), 0, RoundingMode.HALF_EVEN);
    return resolution.times(steps.longValueExact());
  }

  /** Returns the length that a device position stands for. */
  public Length toLength(Length position) {
    BigDecimal straightNm =
        scale.multiply(BigDecimal.valueOf(position.nm())).add(BigDecimal.valueOf(offset.nm()));
    Corrections.Fraction length = corrections.correct(straightNm);
    BigDecimal nm = beyondOffset(length).divide(length.denominator(), 0, RoundingMode.HALF_EVEN);
    return Length.ofNm(nm.longValueExact()).plus(offset);
  }

  /**
   * Returns what a rule at the machine would show, for people to read: the length a position stands
   * for, to the nearest multiple of the resolution; {@code null} where the position is too far out
   * for a length.
   */
  public @Nullable Length readAt(Length position) {
    try {
      long stepNm = resolution.nm();
      long nm = Math.addExact(toLength(position).nm(), stepNm / 2);
      return Length.ofNm(Math.floorDiv(nm, stepNm) * stepNm);
    } catch (ArithmeticException e) {
      return null;
    }
  }

  /** Returns the numerator of a length less the offset. */
  private BigDecimal beyondOffset(Corrections.Fraction nm) {
    return nm.numerator().subtract(BigDecimal.valueOf(offset.nm()).multiply(nm.denominator()));
  }
}
