package org.kerftally.shared.length;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;

/**
 * Writes lengths for people, in their own unit.
 *
 * <p>What is written reads back as the same length, unless it starts with {@value #APPROXIMATELY}:
 * some lengths have no finite decimal in inches, because an inch is 127 times 200 000 nm. Metric
 * units are always exact. Inches are written as a fraction where the length is a whole number of
 * 64ths, the finest of the usual fractions that is whole in nanometres; else as an exact decimal
 * where there is one (a multiple of 0.000005 in); else rounded half to even to 1/10 000 in and
 * marked. {@link LengthReader} refuses a marked text, so an approximation never becomes a length.
 *
 * <p>No result depends on the default locale: the decimal mark is always a point. Safe for use by
 * any thread.
 */
public final class LengthText {

  private static final String APPROXIMATELY = "≈ ";
  private static final int APPROXIMATE_DECIMALS = 4;
  private static final long SIXTY_FOURTH_NM = LengthUnit.IN.nm() / 64;

  /** An inch is this many nanometres times a product of twos and fives. */
  private static final BigInteger INCH_ODD_FACTOR = BigInteger.valueOf(127);

  private static final BigDecimal INCH_NM = BigDecimal.valueOf(LengthUnit.IN.nm());
  private static final BigDecimal INCHES_PER_FOOT = BigDecimal.valueOf(12);

  private LengthText() {}

  /**
   * Writes a length with its unit: {@code 317.5 mm}, {@code 12-1/2 in}, {@code 1 ft 6-1/2 in},
   * {@code ≈ 19.8819 in}. Feet are left out below one foot: {@code 6-1/2 in}.
   */
  public static String write(Length length, LengthUnit unit) {
    return switch (unit) {
      case MM -> decimal(length, 6) + " mm";
      case CM -> decimal(length, 7) + " cm";
      case M -> decimal(length, 9) + " m";
      case IN -> imperial(length, false);
      case FT -> imperial(length, true);
    };
  }

  /** Writes exact decimal millimetres without a unit, for files: {@code 317.5}. */
  public static String writeBare(Length length) {
    return decimal(length, 6);
  }

  private static String decimal(Length length, int decimals) {
    return plain(BigDecimal.valueOf(length.nm(), decimals));
  }

  private static String plain(BigDecimal number) {
    return number.signum() == 0 ? "0" : number.stripTrailingZeros().toPlainString();
  }

  private static String imperial(Length length, boolean inFeet) {
    BigInteger nm = BigInteger.valueOf(length.nm()).abs();
    boolean exact = nm.mod(INCH_ODD_FACTOR).signum() == 0;
    BigDecimal inches =
        exact
            ? new BigDecimal(nm).divide(INCH_NM)
            : new BigDecimal(nm).divide(INCH_NM, APPROXIMATE_DECIMALS, RoundingMode.HALF_EVEN);
    boolean fraction = length.nm() % SIXTY_FOURTH_NM == 0;
    String sign = length.isNegative() && inches.signum() > 0 ? "-" : "";
    return (exact ? "" : APPROXIMATELY) + sign + unsigned(inches, fraction, inFeet);
  }

  private static String unsigned(BigDecimal inches, boolean fraction, boolean inFeet) {
    if (!inFeet) {
      return inches(inches, fraction);
    }
    BigDecimal[] feet = inches.divideAndRemainder(INCHES_PER_FOOT);
    if (inches.signum() == 0) {
      return "0 ft";
    }
    if (feet[0].signum() == 0) {
      return inches(inches, fraction);
    }
    String whole = feet[0].toBigIntegerExact() + " ft";
    return feet[1].signum() == 0 ? whole : whole + " " + inches(feet[1], fraction);
  }

  private static String inches(BigDecimal inches, boolean fraction) {
    if (!fraction) {
      return plain(inches) + " in";
    }
    BigInteger whole = inches.toBigInteger();
    int numerator =
        inches.remainder(BigDecimal.ONE).multiply(BigDecimal.valueOf(64)).intValueExact();
    if (numerator == 0) {
      return whole + " in";
    }
    int shared = Math.min(Integer.lowestOneBit(numerator), 64);
    String part = numerator / shared + "/" + 64 / shared + " in";
    return whole.signum() == 0 ? part : whole + "-" + part;
  }
}
