package org.kerftally.shared.length;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.LengthToken.Flaw;
import org.kerftally.shared.length.LengthToken.Fraction;
import org.kerftally.shared.length.LengthToken.Hyphen;
import org.kerftally.shared.length.LengthToken.Numeral;
import org.kerftally.shared.length.LengthToken.Unit;

/**
 * Splits a written length into tokens, up to the first flaw.
 *
 * <p>Knows characters and numbers only; which tokens may follow which is the reader's business.
 * Only ASCII digits count as digits, and no step depends on the default locale. The text must be
 * short: numbers are parsed at their full length. Not safe for use by several threads: one scanner
 * reads one text once.
 */
final class LengthScanner {

  private static final String HALVES_TO_EIGHTHS = "½¼¾⅛⅜⅝⅞";
  private static final int[][] VULGAR = {{1, 2}, {1, 4}, {3, 4}, {1, 8}, {3, 8}, {5, 8}, {7, 8}};

  private final String text;
  private final boolean decimalComma;
  private final List<LengthToken> tokens = new ArrayList<>();
  private int at;

  private LengthScanner(String text, boolean decimalComma) {
    this.text = text;
    this.decimalComma = decimalComma;
  }

  /** Returns the tokens of a text; a {@link Flaw} is the last one if there is any. */
  static List<LengthToken> scan(String text, boolean decimalComma) {
    LengthScanner scanner = new LengthScanner(text, decimalComma);
    while (scanner.at < text.length()) {
      LengthToken token = scanner.next();
      if (token != null) {
        scanner.tokens.add(token);
      }
      if (token instanceof Flaw) {
        break;
      }
    }
    return scanner.tokens;
  }

  /** Tells whether a character separates words: a blank, a tab or a typographic space. */
  static boolean isBlank(char c) {
    return c == ' '
        || c == '\t'
        || c == '\u00a0'
        || c == '\u202f'
        || (c >= '\u2000' && c <= '\u200a');
  }

  private @Nullable LengthToken next() {
    char c = text.charAt(at);
    if (isBlank(c)) {
      at++;
      return null;
    }
    if (isDigit(c) || isMark(c)) {
      return number();
    }
    if (isLetter(c)) {
      return word();
    }
    int vulgar = HALVES_TO_EIGHTHS.indexOf(c);
    if (vulgar >= 0) {
      at++;
      int[] parts = VULGAR[vulgar];
      return new Fraction(BigInteger.valueOf(parts[0]), BigInteger.valueOf(parts[1]));
    }
    return sign(c);
  }

  /** Reads hyphens, feet and inch marks with their typographic forms; two feet marks are inches. */
  private LengthToken sign(char c) {
    switch (c) {
      case '-', '\u2010', '\u2011', '\u2013', '\u2212' -> {
        at++;
        return new Hyphen();
      }
      case '"', '\u201c', '\u201d', '\u2033' -> {
        at++;
        return new Unit(LengthUnit.IN);
      }
      case '\'', '\u2018', '\u2019', '\u2032' -> {
        boolean twice = at + 1 < text.length() && text.charAt(at + 1) == c;
        at += twice ? 2 : 1;
        return new Unit(twice ? LengthUnit.IN : LengthUnit.FT);
      }
      default -> {
        return new Flaw(LengthFlaws.character(text, at));
      }
    }
  }

  private LengthToken number() {
    int start = at;
    int marks = 0;
    while (at < text.length() && (isDigit(text.charAt(at)) || isMark(text.charAt(at)))) {
      marks += isMark(text.charAt(at)) ? 1 : 0;
      at++;
    }
    String written = text.substring(start, at);
    if (at < text.length() && isSlash(text.charAt(at))) {
      return marks == 0 ? fraction(written) : new Flaw(LengthFlaws.brokenFraction(text));
    }
    if (marks > 1) {
      return new Flaw(LengthFlaws.manyMarks(text, written, decimalComma));
    }
    if (!decimalComma && written.indexOf(',') >= 0) {
      return new Flaw(LengthFlaws.comma(text, written));
    }
    if (!isDigit(written.charAt(written.length() - 1))) {
      return new Flaw(LengthFlaws.endsInMark(text, written));
    }
    return new Numeral(new BigDecimal(written.replace(',', '.')), written);
  }

  private LengthToken fraction(String numerator) {
    at++;
    int start = at;
    while (at < text.length() && isDigit(text.charAt(at))) {
      at++;
    }
    boolean goesOn = at < text.length() && (isMark(text.charAt(at)) || isSlash(text.charAt(at)));
    if (at == start || goesOn) {
      return new Flaw(LengthFlaws.brokenFraction(text));
    }
    return new Fraction(new BigInteger(numerator), new BigInteger(text.substring(start, at)));
  }

  private LengthToken word() {
    int start = at;
    while (at < text.length() && isLetter(text.charAt(at))) {
      at++;
    }
    String word = text.substring(start, at);
    LengthUnit unit = unitOf(word.toLowerCase(Locale.ROOT));
    if (unit == null) {
      boolean exponent = word.equalsIgnoreCase("e") && start > 0 && isDigit(text.charAt(start - 1));
      return new Flaw(
          exponent ? LengthFlaws.exponent(text) : LengthFlaws.word(text, word, hasNumber()));
    }
    boolean abbreviated = word.equalsIgnoreCase("in") || word.equalsIgnoreCase("ft");
    if (abbreviated && at < text.length() && text.charAt(at) == '.') {
      at++;
      if (at < text.length() && isDigit(text.charAt(at))) {
        return new Flaw(LengthFlaws.unitOrDecimalPoint(text, word));
      }
    }
    return new Unit(unit);
  }

  private boolean hasNumber() {
    return tokens.stream().anyMatch(t -> t instanceof Numeral || t instanceof Fraction);
  }

  private static @Nullable LengthUnit unitOf(String word) {
    return switch (word) {
      case "mm" -> LengthUnit.MM;
      case "cm" -> LengthUnit.CM;
      case "m" -> LengthUnit.M;
      case "in", "inch", "inches" -> LengthUnit.IN;
      case "ft", "foot", "feet" -> LengthUnit.FT;
      default -> null;
    };
  }

  private static boolean isDigit(char c) {
    return c >= '0' && c <= '9';
  }

  private static boolean isMark(char c) {
    return c == '.' || c == ',';
  }

  private static boolean isSlash(char c) {
    return c == '/' || c == '\u2044';
  }

  private static boolean isLetter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
  }
}
