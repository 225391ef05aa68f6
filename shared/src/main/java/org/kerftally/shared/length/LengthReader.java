package org.kerftally.shared.length;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.kerftally.shared.length.LengthReading.Read;
import org.kerftally.shared.length.LengthReading.Unreadable;
import org.kerftally.shared.length.LengthToken.Flaw;
import org.kerftally.shared.length.LengthToken.Fraction;
import org.kerftally.shared.length.LengthToken.Hyphen;
import org.kerftally.shared.length.LengthToken.Numeral;
import org.kerftally.shared.length.LengthToken.Unit;

/**
 * Reads lengths as people write them, exactly or not at all.
 *
 * <p>A misread length is a spoilt stick, a refused one is a corrected line. So nothing is guessed
 * and nothing is rounded: a text has one meaning that is a whole number of nanometres, or it is
 * refused with what to write instead. From this follow the rules that are stricter than a reader
 * might expect:
 *
 * <ul>
 *   <li>Thousands are never separated, neither by point, comma, blank nor apostrophe. Where the
 *       comma is the decimal mark the point is one too, except in {@code 4.000} of millimetres: one
 *       or two digits, a point and three digits could be metres, and are refused.
 *   <li>Fractions belong to inches and feet. Denominators are the powers of two up to 128 and the
 *       powers of ten. An odd number of 128ths of an inch is 198 437.5 nm and so refused, as is a
 *       decimal finer than a nanometre.
 *   <li>Feet before inches are whole, and the inches are less than 12 and marked as inches.
 *   <li>A minus in front holds for the whole length, {@code -1' 6"} is −18 in. Zero and negative
 *       lengths are read, so that a caller can call them that.
 * </ul>
 *
 * <p>A text becomes tokens, the tokens' shapes in a row spell a form such as {@code w-f"} for
 * {@code 12-1/2 in}, and a form is either known or not. Only texts of at most {@value #MAX_CHARS}
 * characters come near a number parser, and no exponent ever does, so that hostile input costs
 * nothing. No result depends on the default locale. Safe for use by any thread.
 */
public final class LengthReader {

  /** The most characters a length may have, blanks around it not counted. */
  static final int MAX_CHARS = 40;

  private static final Pattern ONE_UNIT = Pattern.compile("(?:w|d|f|w-?f)[m'\"]?");
  private static final Pattern FEET_AND_INCHES = Pattern.compile("w'-?(?:w|d|f|w-?f)\"");
  private static final Pattern BROKEN_FEET = Pattern.compile("(?:d|f|w-?f)'-?(?:w|d|f|w-?f)\"");
  private static final Pattern INCHES_UNMARKED = Pattern.compile("[wdf-]+'-?[wdf][wdf-]*");
  private static final Pattern NUMBERS_ONLY = Pattern.compile("[wdf][wdf-]*[wdf][m'\"]?");
  private static final Pattern TWO_DIGITS_THEN_THREE = Pattern.compile("[1-9][0-9]?\\.[0-9]{3}");
  private static final BigInteger INCHES_PER_FOOT = BigInteger.valueOf(12);

  private final String text;
  private final LengthUnit defaultUnit;
  private final boolean decimalComma;

  private LengthReader(String text, LengthUnit defaultUnit, boolean decimalComma) {
    this.text = text;
    this.defaultUnit = defaultUnit;
    this.decimalComma = decimalComma;
  }

  /**
   * Reads a length: {@code 505}, {@code 505.0 mm}, {@code 0.505 m}, {@code 12"}, {@code 12 1/2"},
   * {@code 12-1/2 in}, {@code 1' 0-1/2"}, {@code 1 ft 6 in}, with typographic marks as well.
   *
   * @param text what was written; blanks around it do not matter
   * @param defaultUnit the unit of a number that has none
   * @param decimalComma whether {@code 505,5} is a number; the decimal point always is
   */
  public static LengthReading read(String text, LengthUnit defaultUnit, boolean decimalComma) {
    String trimmed = trim(text);
    if (trimmed.isEmpty()) {
      return LengthFlaws.empty();
    }
    if (trimmed.length() > MAX_CHARS) {
      return LengthFlaws.tooLong(trimmed, MAX_CHARS);
    }
    return new LengthReader(trimmed, defaultUnit, decimalComma).read();
  }

  private static String trim(String text) {
    int start = 0;
    int end = text.length();
    while (start < end && LengthScanner.isBlank(text.charAt(start))) {
      start++;
    }
    while (end > start && LengthScanner.isBlank(text.charAt(end - 1))) {
      end--;
    }
    return text.substring(start, end);
  }

  private LengthReading read() {
    List<LengthToken> tokens = LengthScanner.scan(text, decimalComma);
    if (tokens.get(tokens.size() - 1) instanceof Flaw flaw) {
      return flaw.why();
    }
    boolean negative = tokens.get(0) instanceof Hyphen;
    List<LengthToken> unsigned = negative ? tokens.subList(1, tokens.size()) : tokens;
    String form =
        unsigned.stream().map(token -> String.valueOf(token.shape())).collect(Collectors.joining());
    if (ONE_UNIT.matcher(form).matches()) {
      LengthToken last = unsigned.get(unsigned.size() - 1);
      LengthUnit unit = last instanceof Unit written ? written.unit() : defaultUnit;
      return exact(negative, unit, quantity(unsigned, unit));
    }
    if (FEET_AND_INCHES.matcher(form).matches()) {
      return feetAndInches(negative, unsigned);
    }
    return misshapen(form);
  }

  private Unreadable misshapen(String form) {
    if (form.chars().noneMatch(shape -> "wdf".indexOf(shape) >= 0)) {
      return LengthFlaws.noNumber(text);
    }
    if (BROKEN_FEET.matcher(form).matches()) {
      return LengthFlaws.feetNotWhole(text);
    }
    if (INCHES_UNMARKED.matcher(form).matches()) {
      return LengthFlaws.inchesMissing(text);
    }
    return NUMBERS_ONLY.matcher(form).matches()
        ? LengthFlaws.twoNumbers(text)
        : LengthFlaws.form(text);
  }

  private LengthReading feetAndInches(boolean negative, List<LengthToken> tokens) {
    Quantity feet = quantity(tokens.subList(0, 1), LengthUnit.FT);
    Quantity inches = quantity(tokens.subList(2, tokens.size()), LengthUnit.IN);
    if (feet instanceof Nanometres whole && inches instanceof Nanometres rest) {
      BigInteger footNm = INCHES_PER_FOOT.multiply(BigInteger.valueOf(LengthUnit.IN.nm()));
      return rest.nm().compareTo(footNm) < 0
          ? exact(negative, LengthUnit.FT, new Nanometres(whole.nm().add(rest.nm())))
          : LengthFlaws.twelveInches(text);
    }
    return exact(negative, LengthUnit.FT, inches);
  }

  private LengthReading exact(boolean negative, LengthUnit unit, Quantity quantity) {
    if (quantity instanceof Refused refused) {
      return refused.why();
    }
    BigInteger magnitude = ((Nanometres) quantity).nm();
    BigInteger nm = negative ? magnitude.negate() : magnitude;
    return nm.bitLength() < Long.SIZE
        ? new Read(Length.ofNm(nm.longValueExact()), unit)
        : LengthFlaws.beyondRange(text);
  }

  /** Adds up the numbers among the tokens: one number, one fraction, or a whole and a fraction. */
  private Quantity quantity(List<LengthToken> tokens, LengthUnit unit) {
    BigInteger sumNm = BigInteger.ZERO;
    boolean afterWhole = false;
    for (LengthToken token : tokens) {
      Quantity term;
      if (token instanceof Numeral numeral) {
        term = numeral(numeral, unit);
        afterWhole = true;
      } else if (token instanceof Fraction fraction) {
        term = fraction(fraction, unit, afterWhole);
      } else {
        continue;
      }
      if (term instanceof Refused) {
        return term;
      }
      sumNm = sumNm.add(((Nanometres) term).nm());
    }
    return new Nanometres(sumNm);
  }

  private Quantity numeral(Numeral numeral, LengthUnit unit) {
    if (decimalComma
        && unit == LengthUnit.MM
        && TWO_DIGITS_THEN_THREE.matcher(numeral.written()).matches()) {
      return new Refused(LengthFlaws.thousandsOrDecimals(text, numeral.written()));
    }
    BigDecimal nm = numeral.value().multiply(BigDecimal.valueOf(unit.nm()));
    return nm.signum() == 0 || nm.stripTrailingZeros().scale() <= 0
        ? new Nanometres(nm.toBigIntegerExact())
        : new Refused(LengthFlaws.finerThanNanometre(text, unit, false));
  }

  private Quantity fraction(Fraction fraction, LengthUnit unit, boolean afterWhole) {
    BigInteger numerator = fraction.numerator();
    BigInteger denominator = fraction.denominator();
    if (unit != LengthUnit.IN && unit != LengthUnit.FT) {
      return new Refused(LengthFlaws.metricFraction(text, unit));
    }
    if (denominator.signum() == 0) {
      return new Refused(LengthFlaws.divisionByZero(text));
    }
    if (!isUsual(denominator)) {
      return new Refused(LengthFlaws.denominator(text, numerator, denominator));
    }
    if (afterWhole && numerator.compareTo(denominator) >= 0) {
      return new Refused(LengthFlaws.improper(text));
    }
    BigInteger[] nm =
        numerator.multiply(BigInteger.valueOf(unit.nm())).divideAndRemainder(denominator);
    return nm[1].signum() == 0
        ? new Nanometres(nm[0])
        : new Refused(LengthFlaws.finerThanNanometre(text, unit, true));
  }

  /** Tells whether a denominator is a power of two up to 128, or a power of ten. */
  private static boolean isUsual(BigInteger denominator) {
    boolean powerOfTwo = denominator.bitCount() == 1 && denominator.bitLength() <= 8;
    return powerOfTwo || denominator.equals(BigInteger.TEN.pow(digits(denominator) - 1));
  }

  private static int digits(BigInteger number) {
    return number.toString().length();
  }

  /** Holds a sum on its way: whole nanometres without a bound, or why there are none. */
  private sealed interface Quantity {}

  private record Nanometres(BigInteger nm) implements Quantity {}

  private record Refused(Unreadable why) implements Quantity {}
}
