package org.kerftally.shared.length;

import java.math.BigDecimal;
import java.math.RoundingMode;

/**
 * Measures an exact length as a whole number of nanometres.
 *
 * <p>One inch is 25.4 mm by definition (NIST SP 811, appendix B.6), so 1/64 in is exactly 396 875
 * nm and every length a workshop writes has an exact value. Sums and differences are exact and
 * throw {@link ArithmeticException} on overflow; no length ever passes through a {@code double}
 * inside the project. Negative lengths are allowed: they occur as differences.
 *
 * @param nm the length in nanometres
 */
public record Length(long nm) implements Comparable<Length> {

  /** No length at all. */
  public static final Length ZERO = new Length(0);

  private static final BigDecimal NM_PER_MM = BigDecimal.valueOf(1_000_000);

  /** Returns the length of {@code nm} nanometres. */
  public static Length ofNm(long nm) {
    return nm == 0 ? ZERO : new Length(nm);
  }

  /** Returns the length of {@code mm} whole millimetres. */
  public static Length ofMm(long mm) {
    return ofNm(Math.multiplyExact(mm, 1_000_000L));
  }

  /**
   * Returns the length nearest to a reading in millimetres from a device, rounded half to even to a
   * whole nanometre. For the device boundary only.
   *
   * @throws ArithmeticException when the reading is not finite or beyond {@code ±9.2e12} mm
   */
  public static Length ofReadingMm(double mm) {
    if (!Double.isFinite(mm)) {
      throw new ArithmeticException("not a finite reading in mm: " + mm);
    }
    BigDecimal nm = BigDecimal.valueOf(mm).multiply(NM_PER_MM).setScale(0, RoundingMode.HALF_EVEN);
    return ofNm(nm.longValueExact());
  }

  /** Returns this length in exact decimal millimetres, without trailing zeros. */
  public BigDecimal toMm() {
    BigDecimal mm = BigDecimal.valueOf(nm, 6);
    return nm == 0 ? BigDecimal.ZERO : stripToInteger(mm);
  }

  private static BigDecimal stripToInteger(BigDecimal mm) {
    BigDecimal stripped = mm.stripTrailingZeros();
    return stripped.scale() < 0 ? stripped.setScale(0, RoundingMode.UNNECESSARY) : stripped;
  }

  /** Returns the nearest {@code double} in millimetres. For the device boundary only. */
  public double toReadingMm() {
    return BigDecimal.valueOf(nm, 6).doubleValue();
  }

  /** Returns the exact sum. */
  public Length plus(Length other) {
    return ofNm(Math.addExact(nm, other.nm));
  }

  /** Returns the exact difference. */
  public Length minus(Length other) {
    return ofNm(Math.subtractExact(nm, other.nm));
  }

  /** Returns the exact multiple. */
  public Length times(long factor) {
    return ofNm(Math.multiplyExact(nm, factor));
  }

  /** Returns the magnitude. */
  public Length abs() {
    return nm < 0 ? ofNm(Math.negateExact(nm)) : this;
  }

  /** Returns the longer of the two. */
  public Length max(Length other) {
    return nm >= other.nm ? this : other;
  }

  /** Returns the shorter of the two. */
  public Length min(Length other) {
    return nm <= other.nm ? this : other;
  }

  /** Tells whether this length is less than zero. */
  public boolean isNegative() {
    return nm < 0;
  }

  /** Tells whether this length is more than zero. */
  public boolean isPositive() {
    return nm > 0;
  }

  /** Tells whether this length is shorter than the other. */
  public boolean isLessThan(Length other) {
    return nm < other.nm;
  }

  /** Tells whether this length is longer than the other. */
  public boolean isMoreThan(Length other) {
    return nm > other.nm;
  }

  @Override
  public int compareTo(Length other) {
    return Long.compare(nm, other.nm);
  }

  /** Returns exact decimal millimetres with the unit, for logs and tests: {@code 317.5 mm}. */
  @Override
  public String toString() {
    return toMm().toPlainString() + " mm";
  }
}
