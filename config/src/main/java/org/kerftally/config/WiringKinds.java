package org.kerftally.config;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthReader;
import org.kerftally.shared.length.LengthReading;
import org.kerftally.shared.length.LengthUnit;

/** Reads what a signal map holds: bits, pointers, browse paths, units, templates. */
final class WiringKinds {

  /** The data types a value may have: the built-in types of OPC UA, part 6, table 1. */
  static final List<String> TYPES =
      List.of(
          "Boolean", "SByte", "Byte", "Int16", "UInt16", "Int32", "UInt32", "Int64", "UInt64",
          "Float", "Double", "String");

  static final int MAX_PATH_NAMES = 16;
  static final int MAX_TEMPLATE_CHARS = 1_024;

  private static final int MAX_CHARS = 512;
  private static final int BITS = 64;
  private static final Length FINEST_UNIT = Length.ofNm(1);
  private static final Length COARSEST_UNIT = Length.ofMm(1_000);
  private static final Pattern HEX = Pattern.compile("0[xX][0-9A-Fa-f]{1,16}");
  private static final Pattern DECIMAL = Pattern.compile("[0-9]{1,18}");

  static final Kind<Integer> BIT =
      new Kind<>(
          "10",
          text ->
              text.matches("[0-9]{1,2}") && Integer.parseInt(text) < BITS
                  ? Reading.of(Integer.parseInt(text))
                  : Reading.not(text, "the number of a bit, 0 to 63, 0 the lowest"));
  static final Kind<Long> MASK = new Kind<>("0x6F", WiringKinds::readMask);
  static final Kind<String> POINTER =
      new Kind<>(
          "/axis/position",
          text ->
              WordKinds.isPlain(text, MAX_CHARS) && text.matches("(/([^~]|~[01])*)+")
                  ? Reading.of(text)
                  : Reading.not(text, "a JSON Pointer: / before each name, as in /axis/position"));
  static final Kind<List<String>> PATH =
      new Kind<>("Machine/Axis1/Position", WiringKinds::readPath);
  static final Kind<String> TYPE = oneOf(TYPES);
  static final Kind<String> EQUALS = text("remote", 128);
  static final Kind<String> TEMPLATE =
      new Kind<>(
          "'{\"to\":{position},\"id\":{sequence}}'",
          text ->
              WordKinds.isPlain(text, MAX_TEMPLATE_CHARS)
                  ? Reading.of(text)
                  : Reading.not(
                      text, "a text of 1 to " + MAX_TEMPLATE_CHARS + " visible characters"));
  static final Kind<Length> UNIT = new Kind<>("0.001 mm", WiringKinds::readUnit);
  static final Kind<PointConfig.Edge> COUNT =
      new Kind<>(
          "rising",
          text ->
              Arrays.stream(PointConfig.Edge.values())
                  .filter(e -> e.word().equals(text))
                  .findFirst()
                  .<Reading<PointConfig.Edge>>map(Reading::of)
                  .orElseGet(() -> Reading.not(text, "rising or falling")));
  static final Kind<MoveConfig.How> HOW =
      new Kind<>(
          "strobe",
          text ->
              Arrays.stream(MoveConfig.How.values())
                  .filter(h -> h.word().equals(text))
                  .findFirst()
                  .<Reading<MoveConfig.How>>map(Reading::of)
                  .orElseGet(
                      () -> Reading.not(text, "contract, strobe, sequence, message or plcopen")));

  private WiringKinds() {}

  private static Kind<String> oneOf(List<String> words) {
    return new Kind<>(
        words.get(0),
        text -> {
          if (words.contains(text)) {
            return Reading.of(text);
          }
          String near = Suggestion.nearest(text.toLowerCase(Locale.ROOT), words);
          String expected = "one of " + String.join(", ", words);
          return near == null
              ? Reading.not(text, expected)
              : Reading.not(text, expected, "Maybe you meant " + near);
        });
  }

  private static Kind<String> text(String example, int maxChars) {
    return new Kind<>(
        example,
        text ->
            WordKinds.isPlain(text, maxChars)
                ? Reading.of(text)
                : Reading.not(text, "a text of 1 to " + maxChars + " visible characters"));
  }

  private static Reading<Long> readMask(String text) {
    if (HEX.matcher(text).matches()) {
      return positive(text, Long.parseUnsignedLong(text.substring(2), 16));
    }
    return DECIMAL.matcher(text).matches()
        ? positive(text, Long.parseLong(text))
        : Reading.not(text, "the bits that count as a number, such as 0x6F");
  }

  private static Reading<Long> positive(String text, long mask) {
    return mask == 0 ? Reading.not(text, "at least one bit") : Reading.of(mask);
  }

  private static Reading<List<String>> readPath(String text) {
    String expected =
        "browse names from the Objects folder down, with / between, at most " + MAX_PATH_NAMES;
    String plain = text.startsWith("/") ? text.substring(1) : text;
    List<String> names = List.of(plain.split("/", -1));
    boolean good =
        WordKinds.isPlain(text, MAX_CHARS)
            && names.size() <= MAX_PATH_NAMES
            && names.stream().noneMatch(String::isBlank);
    return good ? Reading.of(names) : Reading.not(text, expected);
  }

  /** A bare unit is one of it; a length is one unit of the device. */
  private static Reading<Length> readUnit(String text) {
    String expected = "a unit such as mm or in, or the length of one count such as 0.0125 mm";
    String number = text.matches("[a-z\"']+") ? "1 " + text : text;
    LengthReading asMm = LengthReader.read(number, LengthUnit.MM, false);
    LengthReading asInches = LengthReader.read(number, LengthUnit.IN, false);
    boolean says =
        asMm instanceof LengthReading.Read mm
            && asInches instanceof LengthReading.Read in
            && mm.length().equals(in.length());
    if (!says || !(asMm instanceof LengthReading.Read read)) {
      return Reading.not(text, expected);
    }
    Length unit = read.length();
    return unit.isLessThan(FINEST_UNIT) || unit.isMoreThan(COARSEST_UNIT)
        ? Reading.not(text, "a unit of 1 nm to 1 m")
        : Reading.of(unit);
  }
}
