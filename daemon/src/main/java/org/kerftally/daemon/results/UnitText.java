package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthText;
import org.kerftally.shared.length.LengthUnit;

/**
 * Writes lengths in a job's own unit.
 *
 * @param unit the unit
 */
record UnitText(LengthUnit unit) {

  /** Writes a length with its unit: {@code 505 mm}, {@code 12-1/2 in}. */
  String full(Length length) {
    return LengthText.write(length, unit);
  }

  /** Writes a length without its unit where it is one number: {@code 505}, {@code 12-1/2}. */
  String bare(Length length) {
    String text = full(length);
    String suffix = " " + unit.symbol();
    return unit != LengthUnit.FT && text.endsWith(suffix)
        ? text.substring(0, text.length() - suffix.length())
        : text;
  }

  /** Writes a sum of many lengths rounded for people: {@code 72.11 m}, {@code 186.7 ft}. */
  String sum(Length length) {
    return switch (unit) {
      case MM, CM, M -> rounded(length, LengthUnit.M, 2);
      case IN, FT -> rounded(length, LengthUnit.FT, 1);
    };
  }

  private static String rounded(Length length, LengthUnit unit, int decimals) {
    return BigDecimal.valueOf(length.nm())
            .divide(BigDecimal.valueOf(unit.nm()), decimals, RoundingMode.HALF_UP)
            .toPlainString()
        + " "
        + unit.symbol();
  }
}
