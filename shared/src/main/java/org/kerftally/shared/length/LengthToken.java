package org.kerftally.shared.length;

import java.math.BigDecimal;
import java.math.BigInteger;
import org.kerftally.shared.length.LengthReading.Unreadable;

/** One word of a written length. The shapes of a text's tokens in a row spell its form. */
sealed interface LengthToken {

  /** Returns the letter that stands for this token in a form. */
  char shape();

  /**
   * A number: {@code w} when whole, {@code d} with decimals.
   *
   * @param written its digits and decimal mark as they stood in the text
   */
  record Numeral(BigDecimal value, String written) implements LengthToken {
    boolean whole() {
      return written.indexOf('.') < 0 && written.indexOf(',') < 0;
    }

    @Override
    public char shape() {
      return whole() ? 'w' : 'd';
    }
  }

  /** A fraction of two whole numbers; the denominator may be anything, even zero. */
  record Fraction(BigInteger numerator, BigInteger denominator) implements LengthToken {
    @Override
    public char shape() {
      return 'f';
    }
  }

  /** A hyphen or minus. */
  record Hyphen() implements LengthToken {
    @Override
    public char shape() {
      return '-';
    }
  }

  /** A unit: {@code '} for feet, {@code "} for inches, {@code m} for the metric ones. */
  record Unit(LengthUnit unit) implements LengthToken {
    @Override
    public char shape() {
      return switch (unit) {
        case FT -> '\'';
        case IN -> '"';
        case MM, CM, M -> 'm';
      };
    }
  }

  /** The place where no token could be read; always the last one. */
  record Flaw(Unreadable why) implements LengthToken {
    @Override
    public char shape() {
      return '!';
    }
  }
}
