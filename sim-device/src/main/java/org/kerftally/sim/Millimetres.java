package org.kerftally.sim;

import java.math.BigDecimal;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/** Reads exact lengths in decimal millimetres, bounded before anything is converted. */
final class Millimetres {

  /** What is read: up to six digits, so a kilometre, and down to whole nanometres. */
  static final String EXPECTED = "decimal millimetres such as 505 or 12.7";

  private static final Pattern NUMBER = Pattern.compile("-?\\d{1,6}(\\.\\d{1,6})?");

  private Millimetres() {}

  /** Returns the length, {@code null} when the text is not one. */
  static @Nullable Length parse(String text) {
    if (!NUMBER.matcher(text).matches()) {
      return null;
    }
    return Length.ofNm(new BigDecimal(text).movePointRight(6).longValueExact());
  }
}
