package org.kerftally.protocol.wiring;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

/**
 * Converts one value as its point says: bits, comparison, inversion, unit, sign, words.
 *
 * <p>A text that holds a number or a flag passes for one, because a payload of plain text has no
 * other types. Every failure names the signal, what was found and what was expected.
 */
public final class PointValues {

  private static final BigDecimal NM_A_MM = BigDecimal.valueOf(1_000_000);
  private static final int MAX_NUMBER_CHARS = 40;

  /** Far more than any position has, and bounded: an exponent must not become a huge number. */
  private static final int MAX_EXPONENT = 30;

  private static final Map<String, SawState> SAW_WORDS =
      Map.of(
          "idle", SawState.IDLE,
          "guard-down", SawState.GUARD_DOWN,
          "blade-out", SawState.BLADE_OUT,
          "unknown", SawState.UNKNOWN);

  private PointValues() {}

  /**
   * Returns what the device contract would have for a signal that is no counted flag.
   *
   * @throws SignalFault when the value cannot be converted
   */
  public static RawValue contract(Signal signal, PointConfig point, RawValue raw)
      throws SignalFault {
    String name = signal.contractName();
    return switch (signal.kind()) {
      case FLAG -> RawValue.of(flag(name, point, raw));
      case TOTAL, NUMBER -> RawValue.of(number(name, point, raw));
      case CODE -> RawValue.of(code(name, point, raw));
      case POSITION -> RawValue.of(length(name, point, raw));
      case STATE -> RawValue.of(state(name, point, raw));
      case IDENTITY, TEXT -> RawValue.of(text(name, raw));
      case TIME -> RawValue.of(time(name, raw));
    };
  }

  /** Returns a flag. */
  public static boolean flag(String name, PointConfig point, RawValue raw) throws SignalFault {
    return point.not() != plainFlag(name, point, good(name, point, raw));
  }

  private static boolean plainFlag(String name, PointConfig point, @Nullable Object value)
      throws SignalFault {
    String wanted = point.wanted();
    if (point.mask() != null) {
      long bits = whole(name, point, value) & point.mask();
      return wanted == null ? bits != 0 : bits == wantedNumber(name, point, wanted);
    }
    if (wanted != null) {
      return isWanted(value, wanted);
    }
    if (value instanceof Boolean flag) {
      return flag;
    }
    if (value instanceof String text) {
      switch (text.strip().toLowerCase(Locale.ROOT)) {
        case "true", "on", "1" -> {
          return true;
        }
        case "false", "off", "0" -> {
          return false;
        }
        default -> throw wrong(name, point, value, "true or false, or `equals` in the map");
      }
    }
    return whole(name, point, value) != 0;
  }

  private static boolean isWanted(@Nullable Object value, String wanted) {
    if (value instanceof Boolean || value instanceof String || value == null) {
      String said = value == null ? "null" : value.toString().strip();
      return said.equals(wanted) || sameNumber(said, wanted);
    }
    return sameNumber(value.toString(), wanted);
  }

  private static boolean sameNumber(String said, String wanted) {
    BigDecimal a = decimal(said);
    BigDecimal b = decimal(wanted);
    return a != null && b != null && a.compareTo(b) == 0;
  }

  private static long wantedNumber(String name, PointConfig point, String wanted)
      throws SignalFault {
    Long number = PointConfig.wholeNumber(wanted);
    if (number == null) {
      throw new SignalFault(
          name, at(point) + " is compared with \"" + wanted + "\", which is no whole number");
    }
    return number;
  }

  /** Returns a whole number, its bits masked where the point says so. */
  public static long number(String name, PointConfig point, RawValue raw) throws SignalFault {
    long number = whole(name, point, good(name, point, raw));
    return point.mask() == null ? number : number & point.mask();
  }

  private static long code(String name, PointConfig point, RawValue raw) throws SignalFault {
    Object value = good(name, point, raw);
    boolean isFlag = point.mask() != null || point.wanted() != null || value instanceof Boolean;
    if (!isFlag) {
      return whole(name, point, value);
    }
    return flag(name, point, raw) ? DeviceFault.DRIVE_FAULT.code() : 0;
  }

  /** Returns a length, {@code null} where the device says that it has none. */
  public static @Nullable Length length(String name, PointConfig point, RawValue raw)
      throws SignalFault {
    Object value = good(name, point, raw);
    if (value == null || isNoNumber(value)) {
      return null;
    }
    BigDecimal number =
        value instanceof Number || value instanceof String ? decimal(value.toString()) : null;
    if (number == null) {
      throw wrong(name, point, value, "a number");
    }
    BigDecimal unit = BigDecimal.valueOf(unit(point).nm());
    BigDecimal nm = number.multiply(unit).setScale(0, RoundingMode.HALF_EVEN);
    BigDecimal most = BigDecimal.valueOf(ContractReader.MAX_POSITION_MM).multiply(NM_A_MM);
    if (nm.abs().compareTo(most) > 0) {
      throw new SignalFault(
          name,
          at(point)
              + " is "
              + Words.brief(value.toString())
              + " of "
              + unit(point)
              + "; no stop reaches that far: check `unit`");
    }
    Length length = Length.ofNm(nm.longValueExact());
    return point.reversed() ? length.times(-1) : length;
  }

  private static boolean isNoNumber(Object value) {
    return (value instanceof Double d && d.isNaN()) || (value instanceof Float f && f.isNaN());
  }

  /** Returns what the device understands for a position: in its unit, with its sign. */
  public static BigDecimal deviceUnits(PointConfig point, Length position) {
    Length turned = point.reversed() ? position.times(-1) : position;
    return BigDecimal.valueOf(turned.nm())
        .divide(BigDecimal.valueOf(unit(point).nm()), java.math.MathContext.DECIMAL64);
  }

  private static Length unit(PointConfig point) {
    return point.unit() == null ? Length.ofMm(1) : point.unit();
  }

  private static long state(String name, PointConfig point, RawValue raw) throws SignalFault {
    Object value = good(name, point, raw);
    if (point.values().isEmpty()) {
      if (value instanceof String word && SAW_WORDS.containsKey(word)) {
        return SAW_WORDS.get(word).code();
      }
      return masked(name, point, value);
    }
    String said =
        point.mask() != null || (value instanceof Number number && !isFraction(number))
            ? Long.toString(masked(name, point, value))
            : String.valueOf(value).strip();
    String word = point.values().get(said);
    // What the map does not name is never taken as idle.
    return word == null
        ? SawState.UNKNOWN.code()
        : SAW_WORDS.getOrDefault(word, SawState.UNKNOWN).code();
  }

  private static long masked(String name, PointConfig point, @Nullable Object value)
      throws SignalFault {
    long number = whole(name, point, value);
    return point.mask() == null ? number : number & point.mask();
  }

  private static String text(String name, RawValue raw) throws SignalFault {
    if (raw.bad() != null) {
      throw new SignalFault(name, "is not good: " + raw.bad() + "; check it at the device");
    }
    return raw.value() == null ? "" : raw.value().toString();
  }

  private static @Nullable Instant time(String name, RawValue raw) throws SignalFault {
    Object value = raw.value();
    if (!(value instanceof String text)) {
      return value instanceof Instant at ? at : null;
    }
    try {
      return Instant.parse(text.strip());
    } catch (DateTimeException e) {
      throw new SignalFault(
          name, "is \"" + Words.brief(text) + "\"; expected a time such as 2027-03-01T09:15:02Z");
    }
  }

  private static long whole(String name, PointConfig point, @Nullable Object value)
      throws SignalFault {
    if (value instanceof Boolean flag) {
      return flag ? 1 : 0;
    }
    BigDecimal number =
        value instanceof Number || value instanceof String
            ? decimal(value.toString().strip())
            : null;
    if (number == null) {
      throw wrong(name, point, value, "a whole number");
    }
    try {
      BigInteger whole = number.toBigIntegerExact();
      if (whole.bitLength() < Long.SIZE) {
        return whole.longValue();
      }
      // The bits of a word of 64, its highest among them.
      if (point.mask() != null && whole.signum() > 0 && whole.bitLength() == Long.SIZE) {
        return whole.longValue();
      }
    } catch (ArithmeticException e) {
      // A fraction: said below.
    }
    throw wrong(name, point, value, "a whole number");
  }

  private static boolean isFraction(Number number) {
    return number instanceof Double || number instanceof Float || number instanceof BigDecimal;
  }

  private static @Nullable BigDecimal decimal(String text) {
    String plain = text.strip();
    if (plain.isEmpty() || plain.length() > MAX_NUMBER_CHARS) {
      return null;
    }
    try {
      BigDecimal number = new BigDecimal(plain);
      boolean bounded =
          Math.abs((long) number.scale()) <= MAX_EXPONENT && number.precision() <= MAX_NUMBER_CHARS;
      return bounded ? number : number.signum() == 0 ? BigDecimal.ZERO : null;
    } catch (NumberFormatException e) {
      return null;
    }
  }

  private static @Nullable Object good(String name, PointConfig point, RawValue raw)
      throws SignalFault {
    if (raw.bad() != null) {
      throw new SignalFault(
          name, at(point) + " is not good: " + raw.bad() + "; check it at the device");
    }
    return raw.value();
  }

  private static SignalFault wrong(
      String name, PointConfig point, @Nullable Object value, String expected) {
    return new SignalFault(
        name, at(point) + " is " + ContractReader.shown(value) + "; expected " + expected);
  }

  private static String at(PointConfig point) {
    return "(" + point.place().text() + ")";
  }
}
