package org.kerftally.daemon.cutlog;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/** Turns values into what a table's column holds, and back. */
final class Stored {

  /** RFC 3339 in UTC with milliseconds, always as wide, so that text sorts as time does. */
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  private Stored() {}

  /** Returns the text of a time, or null for none. */
  static @Nullable String timeOrNull(@Nullable Instant instant) {
    return instant == null ? null : time(instant);
  }

  /** Returns the text of a time, cut to the millisecond. */
  static String time(Instant instant) {
    return TIME.format(instant);
  }

  /** Returns an instant cut to the millisecond, as it will be read back. */
  static Instant toMillis(Instant instant) {
    return instant.truncatedTo(ChronoUnit.MILLIS);
  }

  /** Returns whole nanometres, or null for no length. */
  static @Nullable Long nm(@Nullable Length length) {
    return length == null ? null : length.nm();
  }

  /** Returns the number, or null where 0 stands for none. */
  static @Nullable Long orNull(long number) {
    return number == 0 ? null : number;
  }

  /** Returns the length of a column that holds nanometres, or null where it holds none. */
  static @Nullable Length length(@Nullable Object nm) {
    return nm == null ? null : Length.ofNm(((Number) nm).longValue());
  }
}
