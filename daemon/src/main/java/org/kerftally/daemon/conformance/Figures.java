package org.kerftally.daemon.conformance;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Duration;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/** Writes figures as a person reads them off. */
public final class Figures {

  private static final int MICROMETRES = 3;

  private Figures() {}

  /** Returns millimetres without the unit, rounded to a micrometre. */
  public static String bare(Length length) {
    BigDecimal mm = length.toMm().setScale(MICROMETRES, RoundingMode.HALF_EVEN);
    return mm.signum() == 0 ? "0" : mm.stripTrailingZeros().toPlainString();
  }

  /** Returns millimetres with the unit. */
  public static String mm(Length length) {
    return bare(length) + " mm";
  }

  /** Returns a difference with its sign. */
  public static String signed(Length length) {
    return (length.isNegative() ? "" : "+") + mm(length);
  }

  /** Returns a time, {@code -} for none. */
  public static String time(@Nullable Duration time) {
    if (time == null) {
      return "-";
    }
    return time.toMillis() < 10_000
        ? time.toMillis() + " ms"
        : String.format(Locale.ROOT, "%.1f s", time.toMillis() / 1_000.0);
  }
}
