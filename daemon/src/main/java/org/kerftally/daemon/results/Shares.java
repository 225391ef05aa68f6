package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.kerftally.shared.length.Length;

/** Divides lengths: the one place where a length becomes a plain number for people. */
final class Shares {

  private Shares() {}

  /** Returns {@code part / whole} with so many decimals, 0 when there is no whole. */
  static BigDecimal of(Length part, Length whole, int decimals, RoundingMode rounding) {
    if (!whole.isPositive()) {
      return BigDecimal.ZERO.setScale(decimals);
    }
    return BigDecimal.valueOf(part.nm()).divide(BigDecimal.valueOf(whole.nm()), decimals, rounding);
  }

  /** Writes {@code part / whole} as a percentage with one decimal: {@code 87.5 %}. */
  static String percent(Length part, Length whole) {
    return of(part, whole, 3, RoundingMode.HALF_UP).movePointRight(2).toPlainString() + " %";
  }
}
