package org.kerftally.config.wiring;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Says where one value is and how it is turned into what the device contract says, or back.
 *
 * <p>For a flag: the value is masked by {@code mask} and compared with {@code equals} of the file,
 * both where given; without {@code equals} any number but 0 is true; {@code not} turns it round.
 * For a total with {@code count}: the flag so made is watched, and its edges are counted. For a
 * position: the value times {@code unit}, with its sign turned round where {@code reversed}.
 *
 * @param place where it is
 * @param type the OPC UA data type it has to have, {@code null} for any that fits
 * @param mask the bits of the number that count, {@code null} for all
 * @param wanted what makes a flag true, {@code null} for any number but 0
 * @param not whether a flag is turned round
 * @param values what the device says → what the contract says, empty for the contract's own
 * @param unit the length of one unit of the device, {@code null} for one millimetre
 * @param reversed whether the device counts the other way
 * @param count which edges of a flag a total counts, {@code null} for a value that is a total
 * @param template the text that is sent, with {@code {value}} or the names of what is sent in it;
 *     {@code null} for the value alone
 */
public record PointConfig(
    Place place,
    @Nullable String type,
    @Nullable Long mask,
    @Nullable String wanted,
    boolean not,
    Map<String, String> values,
    @Nullable Length unit,
    boolean reversed,
    @Nullable Edge count,
    @Nullable String template) {

  private static final int HEXADECIMAL = 16;

  /** Names the edges of a flag. */
  public enum Edge {
    /** False to true. */
    RISING("rising"),
    /** True to false. */
    FALLING("falling");

    private final String word;

    Edge(String word) {
      this.word = word;
    }

    /** Returns the word used in files. */
    public String word() {
      return word;
    }
  }

  /** Copies the map, keeping its order. */
  public PointConfig {
    values = Collections.unmodifiableMap(new LinkedHashMap<>(values));
  }

  /** Returns a value that is taken as it stands. */
  public static PointConfig plain(Place place) {
    return new PointConfig(place, null, null, null, false, Map.of(), null, false, null, null);
  }

  /**
   * Returns the whole number that a text of the file is, {@code null} where it is none: decimal,
   * with {@code 0x} in front hexadecimal, and never octal.
   */
  public static @Nullable Long wholeNumber(String text) {
    boolean isHex = text.startsWith("0x") || text.startsWith("0X");
    try {
      return isHex ? Long.valueOf(text.substring(2), HEXADECIMAL) : Long.valueOf(text);
    } catch (NumberFormatException e) {
      return null;
    }
  }

  /** Returns this point with the bits that count and what they have to be. */
  public PointConfig masked(long bits, @Nullable Long value) {
    String wanted = value == null ? null : value.toString();
    return new PointConfig(place, type, bits, wanted, not, values, unit, reversed, count, template);
  }
}
