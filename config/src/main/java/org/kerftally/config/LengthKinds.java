package org.kerftally.config;

import java.util.function.Predicate;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthReader;
import org.kerftally.shared.length.LengthReading;
import org.kerftally.shared.length.LengthUnit;

/**
 * Reads lengths, which in a configuration always say their unit: a saw set up in millimetres and a
 * file written in inches would otherwise differ by 25.4 and nobody would see it. Only zero may go
 * without.
 */
final class LengthKinds {

  /** No saw reaches further, and every sum of such lengths fits the exact arithmetic. */
  static final Length LONGEST = Length.ofMm(100_000);

  /** Saw blades are thinner by far (common practice: 2 to 6 mm). */
  static final Length WIDEST_KERF = Length.ofMm(50);

  private static final Length COARSEST = Length.ofMm(10);

  /** The play in a positioner is far less; every overshoot costs its way twice. */
  private static final Length LONGEST_OVERSHOOT = Length.ofMm(100);

  /** Enough for any piece to fall; every retract costs its way twice. */
  private static final Length LONGEST_RETRACT = Length.ofMm(1_000);

  private static final Length SLOWEST = Length.ofMm(1);
  private static final Length LONGEST_STROKE = Length.ofMm(2_000);

  static final Kind<Length> KERF =
      within(
          "3.2 mm", "more than 0 mm, at most 50 mm", l -> l.isPositive() && upTo(l, WIDEST_KERF));
  static final Kind<Length> LEAD_TRIM = fromZero("10 mm");
  static final Kind<Length> TAIL = fromZero("60 mm");
  static final Kind<Length> MIN_OFFCUT = fromZero("300 mm");
  static final Kind<Length> TRAVEL_MIN = fromZero("20 mm");
  static final Kind<Length> TRAVEL_MAX =
      within("4000 mm", "more than 0 mm, at most 100 m", l -> l.isPositive() && upTo(l, LONGEST));
  static final Kind<Length> WINDOW = fine("0.1 mm");
  static final Kind<Length> OVERSHOOT =
      within(
          "2 mm",
          "more than 0 mm, at most 100 mm",
          l -> l.isPositive() && upTo(l, LONGEST_OVERSHOOT));
  static final Kind<Length> RETRACT =
      within("5 mm", "0 mm or more, at most 1 m", l -> !l.isNegative() && upTo(l, LONGEST_RETRACT));
  static final Kind<ParkPlace> PARK_AT = new Kind<>("1200 mm", LengthKinds::readPark);
  static final Kind<Length> RESOLUTION = fine("0.01 mm");
  static final Kind<Length> OFFSET =
      within("-0.35 mm", "at most 100 m either way", l -> upTo(l.abs(), LONGEST));
  static final Kind<Length> CORRECTED_AT = fromZero("500 mm");
  static final Kind<Length> CORRECTION =
      within("0.05 mm", "at most 10 mm either way", l -> upTo(l.abs(), COARSEST));
  static final Kind<Length> STROKE =
      within(
          "60 mm", "more than 0 mm, at most 2 m", l -> l.isPositive() && upTo(l, LONGEST_STROKE));

  /** A speed is the way covered in one second. */
  static final Kind<Length> TOP_SPEED = perSecond("1000 mm/s", "/s", "a speed");

  /** An acceleration is the speed gained in one second, as way a second. */
  static final Kind<Length> ACCELERATION = perSecond("2000 mm/s2", "/s2", "an acceleration");

  private LengthKinds() {}

  private static Reading<ParkPlace> readPark(String text) {
    if (text.equals(ParkPlace.WORD)) {
      return Reading.of(new ParkPlace(null));
    }
    String expected = "a length of 0 mm or more, at most 100 m, or nowhere";
    Reading<Length> length = read(text);
    if (length instanceof Reading.Not<Length> not) {
      return not.mend() == null
          ? Reading.not(text, expected)
          : Reading.not(text, expected, not.mend());
    }
    Length at = ((Reading.Of<Length>) length).value();
    return at.isNegative() || !upTo(at, LONGEST)
        ? Reading.not(text, expected)
        : Reading.of(new ParkPlace(at));
  }

  private static Kind<Length> perSecond(String example, String suffix, String what) {
    String expected = what + " from 1 mm" + suffix + " to 100 m" + suffix + " with its unit";
    return new Kind<>(
        example,
        text -> {
          String plain = text.strip().replace("s\u00b2", "s2").replace("s^2", "s2");
          if (!plain.endsWith(suffix)) {
            return Reading.not(text, expected, "Write the unit: mm" + suffix + ", m" + suffix);
          }
          Reading<Length> way = read(plain.substring(0, plain.length() - suffix.length()));
          boolean good =
              way instanceof Reading.Of<Length> read
                  && !read.value().isLessThan(SLOWEST)
                  && upTo(read.value(), LONGEST);
          return good ? way : Reading.not(text, expected);
        });
  }

  private static Kind<Length> fromZero(String example) {
    return within(example, "0 mm or more, at most 100 m", l -> !l.isNegative() && upTo(l, LONGEST));
  }

  private static Kind<Length> fine(String example) {
    return within(
        example, "more than 0 mm, at most 10 mm", l -> l.isPositive() && upTo(l, COARSEST));
  }

  private static boolean upTo(Length length, Length most) {
    return !length.isMoreThan(most);
  }

  private static Kind<Length> within(String example, String range, Predicate<Length> allowed) {
    return new Kind<>(
        example,
        text ->
            read(text) instanceof Reading.Of<Length> read && !allowed.test(read.value())
                ? Reading.not(text, "a length of " + range)
                : read(text));
  }

  /** A text that two default units make two lengths of, or none and one, says no unit itself. */
  private static Reading<Length> read(String text) {
    String expected = "a length with its unit";
    LengthReading asMm = LengthReader.read(text, LengthUnit.MM, false);
    LengthReading asInches = LengthReader.read(text, LengthUnit.IN, false);
    if (asMm instanceof LengthReading.Unreadable && asInches instanceof LengthReading.Unreadable) {
      return Reading.not(text, expected, mendOf(text));
    }
    if (asMm instanceof LengthReading.Read mm
        && asInches instanceof LengthReading.Read inches
        && mm.length().equals(inches.length())) {
      return Reading.of(mm.length());
    }
    String unit = asMm instanceof LengthReading.Read ? " mm" : " in";
    return Reading.not(text, expected, "Write the unit: " + text.strip() + unit);
  }

  private static String mendOf(String text) {
    return LengthReader.read(text, LengthUnit.MM, true) instanceof LengthReading.Read
        ? "Write the decimals with a point: " + text.strip().replace(',', '.')
        : "Write a number and mm, cm, m, in or ft, to a nanometre at the finest";
  }
}
