package org.kerftally.shared.length;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Reads lengths slowly and plainly: one regular expression on plain text, arithmetic in decimals.
 *
 * <p>Shares no code with the reader it judges. It says only what the length is, or that there is
 * none, not why. It knows no exotic blanks: texts for it hold none.
 */
final class ReferenceLengthReader {

  private static final String NUMBER = "[0-9]*[.,]?[0-9]+";
  private static final String FRACTION = "(?<top>[0-9]+)/(?<bottom>[0-9]+)";
  private static final Pattern SINGLE =
      Pattern.compile(
          "(?:(?<number>"
              + NUMBER
              + ")|(?:(?<whole>[0-9]+)(?: +| *- *))?"
              + FRACTION
              + ") *(?<unit>[a-z]+\\.?|'|\")?");
  private static final Pattern FEET_INCHES =
      Pattern.compile("(?<feet>[0-9]+ *(?:'|(?:ft|foot|feet)\\.?)) *-? *(?<inches>.*[^0-9 .,].*)");
  private static final Map<String, LengthUnit> UNITS =
      Map.ofEntries(
          Map.entry("mm", LengthUnit.MM),
          Map.entry("cm", LengthUnit.CM),
          Map.entry("m", LengthUnit.M),
          Map.entry("in", LengthUnit.IN),
          Map.entry("in.", LengthUnit.IN),
          Map.entry("inch", LengthUnit.IN),
          Map.entry("inches", LengthUnit.IN),
          Map.entry("\"", LengthUnit.IN),
          Map.entry("ft", LengthUnit.FT),
          Map.entry("ft.", LengthUnit.FT),
          Map.entry("foot", LengthUnit.FT),
          Map.entry("feet", LengthUnit.FT),
          Map.entry("'", LengthUnit.FT));

  private ReferenceLengthReader() {}

  /** Returns the length in nanometres, or null where the text is none. */
  static @Nullable BigDecimal readNm(String text, LengthUnit defaultUnit, boolean decimalComma) {
    String plain = plain(text);
    boolean negative = plain.startsWith("-");
    String unsigned = negative ? plain.substring(1).strip() : plain;
    BigDecimal nm = single(unsigned, defaultUnit, decimalComma, null);
    Matcher both = FEET_INCHES.matcher(unsigned);
    if (nm == null && both.matches()) {
      BigDecimal feet = single(both.group("feet"), LengthUnit.FT, decimalComma, LengthUnit.FT);
      BigDecimal inches = single(both.group("inches"), LengthUnit.MM, decimalComma, LengthUnit.IN);
      boolean sound = feet != null && inches != null && inches.compareTo(nm("304800000")) < 0;
      nm = sound ? feet.add(inches) : null;
    }
    boolean abbreviationOrDecimal = plain.matches(".*(ft|in)[.][0-9].*");
    if (nm == null || text.length() > 40 || abbreviationOrDecimal) {
      return null;
    }
    BigDecimal signed = negative ? nm.negate() : nm;
    boolean inRange =
        signed.compareTo(nm("9223372036854775807")) <= 0
            && signed.compareTo(nm("-9223372036854775808")) >= 0;
    return inRange && signed.remainder(BigDecimal.ONE).signum() == 0 ? signed : null;
  }

  private static String plain(String text) {
    String plain = text.toLowerCase(Locale.ROOT).replace('\u00a0', ' ').strip();
    plain = plain.replaceAll("''|’’|′′|[″”]", "\"").replaceAll("[′’]", "'").replace('−', '-');
    String[] glyphs = {"½", "¼", "¾", "⅛", "⅜", "⅝", "⅞"};
    String[] fractions = {"1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8"};
    for (int i = 0; i < glyphs.length; i++) {
      // Digits beside a glyph belong to no number of it: blanks keep them apart.
      plain = plain.replace(glyphs[i], " " + fractions[i] + " ");
    }
    return plain.strip();
  }

  private static @Nullable BigDecimal single(
      String text, LengthUnit defaultUnit, boolean decimalComma, @Nullable LengthUnit wanted) {
    Matcher m = SINGLE.matcher(text);
    if (!m.matches()) {
      return null;
    }
    String written = m.group("unit");
    LengthUnit unit = written == null ? defaultUnit : UNITS.get(written);
    if (unit == null || (wanted != null && (unit != wanted || written == null))) {
      return null;
    }
    BigDecimal size = BigDecimal.valueOf(unit.nm());
    String number = m.group("number");
    if (number != null) {
      boolean couldBeThousands = number.matches("[1-9][0-9]?[.][0-9]{3}");
      boolean refused =
          decimalComma ? unit == LengthUnit.MM && couldBeThousands : number.contains(",");
      return refused ? null : nm(number.replace(',', '.')).multiply(size);
    }
    String top = m.group("top");
    String bottom = m.group("bottom");
    if ((unit != LengthUnit.IN && unit != LengthUnit.FT)
        || !bottom.matches("0*(1|2|4|8|16|32|64|128|10+)")) {
      return null;
    }
    String whole = m.group("whole");
    if (whole != null && nm(top).compareTo(nm(bottom)) >= 0) {
      return null;
    }
    // Every denominator left is made of twos and fives: the quotient is a finite decimal.
    BigDecimal fraction = nm(top).multiply(size).divide(nm(bottom));
    return whole == null ? fraction : fraction.add(nm(whole).multiply(size));
  }

  private static BigDecimal nm(String number) {
    return new BigDecimal(number);
  }
}
