package org.kerftally.config;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Duration;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Reads times, sizes and the calibration's scale: numbers that are no lengths. */
final class AmountKinds {

  static final Kind<Duration> POLL = between("500 ms", 50, 600_000);
  static final Kind<Duration> MIN_AGE = between("1 s", 0, 600_000);
  static final Kind<Duration> TIME_LIMIT = between("10 s", 100, 3_600_000);
  static final Kind<Duration> TARGET_VALIDITY = between("3 s", 100, 60_000);
  static final Kind<Duration> TIMEOUT = between("4 s", 100, 120_000);

  /** Below 10 ms servers choose an interval of their own. */
  static final Kind<Duration> PUBLISHING = between("20 ms", 10, 10_000);

  /** MQTT 5.0, section 3.1.2.10: the keep alive is a whole number of seconds. */
  static final Kind<Duration> KEEP_ALIVE = wholeSeconds(between("5 s", 1_000, 3_600_000));

  static final Kind<Duration> SETTLING = between("150 ms", 0, 60_000);

  /** Long enough for any stop to come to rest; longer would only hold the operator up. */
  static final Kind<Duration> DWELL = between("200 ms", 0, 10_000);

  static final Kind<Duration> SETTLE = between("50 ms", 0, 10_000);

  /** Longer would only hold the operator up, who has to wait for it after every cut. */
  static final Kind<Duration> HOLD = between("1 s", 0, 60_000);

  /** Shorter, the stop would set out between two jobs that follow each other. */
  static final Kind<Duration> PARK_AFTER = between("60 s", 1_000, 86_400_000);

  static final Kind<OpenParts> OPEN_PARTS = new Kind<>("6", OpenParts::read);
  static final Kind<Long> MAX_BYTES = new Kind<>("16 MiB", AmountKinds::readBytes);
  static final Kind<BigDecimal> SCALE = new Kind<>("1.0002", AmountKinds::readScale);

  private static final BigDecimal LEAST_SCALE = new BigDecimal("0.5");
  private static final BigDecimal MOST_SCALE = new BigDecimal("2");
  private static final long LEAST_BYTES = 1L << 10;
  private static final long MOST_BYTES = 1L << 30;

  private static final Pattern TIME = Pattern.compile("([0-9]{1,9}(?:\\.[0-9]{1,9})?) ?(ms|s|min)");
  private static final Pattern SIZE = Pattern.compile("([0-9]{1,12}) ?(B|KiB|MiB|GiB)?");
  private static final Pattern DECIMAL = Pattern.compile("[0-9]{1,3}(\\.[0-9]{1,12})?");
  private static final Pattern NUMBER = Pattern.compile("[0-9]+([.,][0-9]+)?");

  private AmountKinds() {}

  private static Kind<Duration> between(String example, long leastMillis, long mostMillis) {
    String range =
        "a time from "
            + text(Duration.ofMillis(leastMillis))
            + " to "
            + text(Duration.ofMillis(mostMillis));
    return new Kind<>(
        example,
        text -> {
          Duration time = readTime(text);
          if (time == null) {
            return Reading.not(text, range, mendOfTime(text));
          }
          boolean inside = time.toMillis() >= leastMillis && time.toMillis() <= mostMillis;
          return inside ? Reading.of(time) : Reading.not(text, range);
        });
  }

  private static @Nullable Duration readTime(String text) {
    Matcher match = TIME.matcher(text.strip());
    if (!match.matches()) {
      return null;
    }
    long factor =
        switch (match.group(2)) {
          case "ms" -> 1;
          case "s" -> 1_000;
          default -> 60_000;
        };
    BigDecimal millis = new BigDecimal(match.group(1)).multiply(BigDecimal.valueOf(factor));
    boolean whole = millis.stripTrailingZeros().scale() <= 0;
    return whole ? Duration.ofMillis(millis.longValueExact()) : null;
  }

  private static String mendOfTime(String text) {
    String trimmed = text.strip();
    if (trimmed.length() <= 12 && NUMBER.matcher(trimmed).matches()) {
      return "Write the unit: " + trimmed + " ms or " + trimmed + " s";
    }
    return "Units are ms, s and min; a millisecond is the least";
  }

  private static Kind<Duration> wholeSeconds(Kind<Duration> kind) {
    return new Kind<>(
        kind.example(),
        text ->
            kind.read(text) instanceof Reading.Of<Duration> read && read.value().toMillisPart() != 0
                ? Reading.not(text, "a whole number of seconds")
                : kind.read(text));
  }

  /** Returns a time as it is written in the file, in the largest unit that keeps it whole. */
  static String text(Duration time) {
    long millis = time.toMillis();
    if (millis % 1_000 != 0 || millis == 0) {
      return millis + " ms";
    }
    return millis % 60_000 == 0 ? millis / 60_000 + " min" : millis / 1_000 + " s";
  }

  private static Reading<Long> readBytes(String text) {
    Matcher match = SIZE.matcher(text.strip());
    String range = "a size from 1 KiB to 1 GiB";
    if (!match.matches()) {
      return Reading.not(text, range, "Units are B, KiB, MiB and GiB");
    }
    String unit = match.group(2) == null ? "B" : match.group(2);
    int shift =
        10
            * switch (unit) {
              case "KiB" -> 1;
              case "MiB" -> 2;
              case "GiB" -> 3;
              default -> 0;
            };
    BigDecimal bytes = new BigDecimal(match.group(1)).multiply(BigDecimal.valueOf(1L << shift));
    boolean inside =
        bytes.compareTo(BigDecimal.valueOf(LEAST_BYTES)) >= 0
            && bytes.compareTo(BigDecimal.valueOf(MOST_BYTES)) <= 0;
    return inside ? Reading.of(bytes.longValueExact()) : Reading.not(text, range);
  }

  /** Returns a size as it is written in the file, in the largest unit that keeps it whole. */
  static String text(long bytes) {
    String[] units = {"B", "KiB", "MiB", "GiB"};
    int unit = 0;
    long amount = bytes;
    while (unit < units.length - 1 && amount > 0 && amount % 1024 == 0) {
      amount /= 1024;
      unit++;
    }
    return amount + " " + units[unit];
  }

  private static Reading<BigDecimal> readScale(String text) {
    String expected = "a number from 0.5 to 2, 1 when the positioner reads true";
    String trimmed = text.strip();
    if (!DECIMAL.matcher(trimmed).matches()) {
      String mend =
          trimmed.toLowerCase(Locale.ROOT).matches("[0-9]+,[0-9]+")
              ? "Write the decimals with a point: " + trimmed.replace(',', '.')
              : "The scale has no unit and at most 12 decimals";
      return Reading.not(text, expected, mend);
    }
    BigDecimal scale = new BigDecimal(trimmed).stripTrailingZeros();
    boolean inside = scale.compareTo(LEAST_SCALE) >= 0 && scale.compareTo(MOST_SCALE) <= 0;
    return inside
        ? Reading.of(scale.setScale(Math.max(0, scale.scale()), RoundingMode.UNNECESSARY))
        : Reading.not(text, expected);
  }
}
