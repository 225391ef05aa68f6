package org.kerftally.shared.length;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import java.util.Locale;
import org.kerftally.shared.length.LengthReading.Unreadable;

/** Words every reason why a text is no length: what was found, and what to write instead. */
final class LengthFlaws {

  private static final int SHOWN_OF_LONG_TEXT = 20;
  private static final String EXAMPLES = "505, 505.0 mm, 0.505 m, 12-1/2 in or 1' 6\"";
  private static final BigInteger SIXTY_FOUR = BigInteger.valueOf(64);

  private LengthFlaws() {}

  static Unreadable empty() {
    return new Unreadable("the length is empty", "write a length such as " + EXAMPLES);
  }

  static Unreadable tooLong(String text, int maxChars) {
    String start = text.substring(0, SHOWN_OF_LONG_TEXT) + "…";
    return new Unreadable(
        quote(start) + " is longer than the " + maxChars + " characters that a length may have",
        "write a length such as " + EXAMPLES);
  }

  static Unreadable form(String text) {
    return new Unreadable(
        quote(text) + " is not written as a length", "write a length such as " + EXAMPLES);
  }

  static Unreadable noNumber(String text) {
    return new Unreadable(quote(text) + " has no number", "write a length such as " + EXAMPLES);
  }

  static Unreadable twoNumbers(String text) {
    return new Unreadable(
        quote(text) + " has several numbers that make no one length",
        "write one number without blanks, such as 1234, or a fraction such as 12-1/2 in");
  }

  static Unreadable character(String text, int index) {
    int codePoint = text.codePointAt(index);
    String found = quote(text);
    if (Character.isDigit(codePoint)) {
      return new Unreadable(
          found + " has the digit " + show(codePoint) + ", which is none of 0 to 9",
          "write the number with the digits 0 to 9");
    }
    if (isInvisible(codePoint)) {
      return new Unreadable(
          found + " has the invisible character " + name(codePoint),
          "type the length again by hand, such as " + EXAMPLES);
    }
    if (codePoint == '/' || codePoint == '\u2044') {
      return brokenFraction(text);
    }
    return new Unreadable(
        found + " has " + show(codePoint) + ", which is no part of a length",
        "write a length such as " + EXAMPLES);
  }

  static Unreadable word(String text, String word, boolean behindNumber) {
    if (!behindNumber) {
      return noNumber(text);
    }
    return new Unreadable(
        quote(text) + " has the unit " + quote(word) + ", which is not known",
        "use mm, cm, m, in (or \") or ft (or ')");
  }

  static Unreadable unitOrDecimalPoint(String text, String word) {
    return new Unreadable(
        quote(text) + " has a point between " + quote(word) + " and a number",
        "put a blank behind the unit, as in 1 ft 6 in, or write 0 before decimals, as in 0.5");
  }

  static Unreadable exponent(String text) {
    return new Unreadable(
        quote(text) + " has an exponent", "write all digits of the number, such as 1200 for 1.2e3");
  }

  static Unreadable comma(String text, String number) {
    String withPoint = number.replace(',', '.');
    String hint =
        number.matches("[1-9][0-9]{0,2},[0-9]{3}")
            ? "write " + withPoint + " or " + number.replace(",", "") + ", whichever is meant"
            : "write " + withPoint + ", or use ; between columns";
    return new Unreadable(quote(text) + " has a comma", hint);
  }

  static Unreadable manyMarks(String text, String number, boolean decimalComma) {
    int last = Math.max(number.lastIndexOf('.'), number.lastIndexOf(','));
    String digits = number.replaceAll("[.,]", "");
    String decimals = number.substring(last + 1);
    boolean mixed = number.indexOf(number.charAt(last)) == last;
    String plain =
        mixed && !decimals.isEmpty()
            ? digits.substring(0, digits.length() - decimals.length())
                + (decimalComma ? ',' : '.')
                + decimals
            : digits;
    return new Unreadable(
        quote(text) + " has more than one point or comma in a number",
        digits.isEmpty()
            ? "write a length such as " + EXAMPLES
            : "write " + plain + ": one decimal mark at most, and none between thousands");
  }

  static Unreadable endsInMark(String text, String number) {
    String whole = number.substring(0, number.length() - 1);
    return new Unreadable(
        quote(text) + " ends a number in a decimal mark",
        whole.isEmpty()
            ? "write a length such as " + EXAMPLES
            : "write " + whole + ", or give the decimals that are missing");
  }

  static Unreadable thousandsOrDecimals(String text, String number) {
    String thousands = number.replace(".", "");
    return new Unreadable(
        quote(text) + " can mean " + number.replace('.', ',') + " mm or " + thousands + " mm",
        "write " + number.replace('.', ',') + " or " + thousands + ", whichever is meant");
  }

  static Unreadable brokenFraction(String text) {
    return new Unreadable(
        quote(text) + " has a fraction that is not two whole numbers",
        "write a fraction such as 1/2 in or 12-1/2 in");
  }

  static Unreadable metricFraction(String text, LengthUnit unit) {
    return new Unreadable(
        quote(text) + " is a fraction in " + unit.symbol() + "; fractions are for inches and feet",
        "write a decimal such as 12.5 " + unit.symbol() + ", or give the unit as in 12-1/2 in");
  }

  static Unreadable divisionByZero(String text) {
    return new Unreadable(
        quote(text) + " has a fraction over 0", "write a fraction such as 1/2 in or 12-1/2 in");
  }

  static Unreadable denominator(String text, BigInteger numerator, BigInteger denominator) {
    BigInteger nearest =
        new BigDecimal(numerator.multiply(SIXTY_FOUR))
            .divide(new BigDecimal(denominator), 0, RoundingMode.HALF_EVEN)
            .toBigIntegerExact();
    return new Unreadable(
        quote(text) + " has a fraction over " + denominator + "; 2, 4, 8 … 128 or 10, 100 … can be",
        "write the nearest 64th, " + nearest + "/64, or a decimal with at most 5 decimals");
  }

  static Unreadable improper(String text) {
    return new Unreadable(
        quote(text) + " has a fraction of 1 or more behind a whole number",
        "write a fraction less than 1, such as 12-1/2 in");
  }

  static Unreadable finerThanNanometre(String text, LengthUnit unit, boolean fraction) {
    int decimals =
        switch (unit) {
          case MM -> 6;
          case CM -> 7;
          case M -> 9;
          case IN, FT -> 5;
        };
    String hint = "round it to at most " + decimals + " decimals of " + unit.symbol();
    return new Unreadable(
        quote(text) + " is not a whole number of nanometres",
        fraction ? "round it to a 64th, or write at most " + decimals + " decimals" : hint);
  }

  static Unreadable beyondRange(String text) {
    return new Unreadable(
        quote(text) + " is beyond 9223372036854.775807 mm, the longest length that is counted",
        "check the number and its unit");
  }

  static Unreadable inchesMissing(String text) {
    return new Unreadable(
        quote(text) + " has a number behind the feet without a unit",
        "mark the inches, as in 1' 6\", or write 1200 without a mark between thousands");
  }

  static Unreadable feetNotWhole(String text) {
    return new Unreadable(
        quote(text) + " has inches behind feet that are not whole",
        "write whole feet and inches, as in 1' 6\", or decimal feet alone, as in 1.5 ft");
  }

  static Unreadable twelveInches(String text) {
    return new Unreadable(
        quote(text) + " has 12 inches or more behind the feet",
        "write less than 12 in behind the feet, as in 1' 6\", or inches alone, as in 18 in");
  }

  private static String quote(String text) {
    StringBuilder quoted = new StringBuilder("\"");
    text.codePoints().forEach(codePoint -> quoted.append(show(codePoint)));
    return quoted.append('"').toString();
  }

  private static String show(int codePoint) {
    return isInvisible(codePoint) ? "<" + name(codePoint) + ">" : Character.toString(codePoint);
  }

  private static String name(int codePoint) {
    return String.format(Locale.ROOT, "U+%04X", codePoint);
  }

  /** Tells whether a character shows nothing, moves others about, or is no character by itself. */
  private static boolean isInvisible(int codePoint) {
    return switch (Character.getType(codePoint)) {
      case Character.CONTROL,
          Character.FORMAT,
          Character.SURROGATE,
          Character.PRIVATE_USE,
          Character.UNASSIGNED,
          Character.LINE_SEPARATOR,
          Character.PARAGRAPH_SEPARATOR,
          Character.NON_SPACING_MARK,
          Character.ENCLOSING_MARK ->
          true;
      default -> false;
    };
  }
}
