package org.kerftally.shared.length;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.length.LengthReading.Read;
import org.kerftally.shared.length.LengthReading.Unreadable;

final class LengthReaderTest {

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      value = {
        "505            | 505000000     | MM",
        "505.0 mm       | 505000000     | MM",
        "505mm          | 505000000     | MM",
        "0505           | 505000000     | MM",
        ".5 mm          | 500000        | MM",
        "0.000001 mm    | 1             | MM",
        "0.505 m        | 505000000     | M",
        "0.000000001 m  | 1             | M",
        "50.5 cm        | 505000000     | CM",
        "12 in          | 304800000     | IN",
        "12 in.         | 304800000     | IN",
        "12 inches      | 304800000     | IN",
        "1 inch         | 25400000      | IN",
        "12\"           | 304800000     | IN",
        "12''           | 304800000     | IN",
        "12 1/2\"       | 317500000     | IN",
        "12-1/2 in      | 317500000     | IN",
        "12 - 1/2 in    | 317500000     | IN",
        "12-1/2\"       | 317500000     | IN",
        "1/2 in         | 12700000      | IN",
        "3/2 in         | 38100000      | IN",
        "2/128 in       | 396875        | IN",
        "3/10 in        | 7620000       | IN",
        "1/100000 in    | 254           | IN",
        "12.125 in      | 307975000     | IN",
        "0.000005 in    | 127           | IN",
        "1' 0-1/2\"     | 317500000     | FT",
        "1'-0 1/2\"     | 317500000     | FT",
        "1' - 6\"       | 457200000     | FT",
        "1' 1/2\"       | 317500000     | FT",
        "1'             | 304800000     | FT",
        "1 ft 6 in      | 457200000     | FT",
        "1ft. 6in.      | 457200000     | FT",
        "1 foot 6.5 in  | 469900000     | FT",
        "1ft            | 304800000     | FT",
        "2 feet         | 609600000     | FT",
        "1.5 ft         | 457200000     | FT",
        "1-1/2 ft       | 457200000     | FT",
        "1/128 ft       | 2381250       | FT",
        "3' 4\"         | 1016000000    | FT",
        "3'4\"          | 1016000000    | FT",
      })
  void readsEveryFormExactly(String text, long nm, LengthUnit unit) {
    assertThat(mm(text)).isEqualTo(new Read(Length.ofNm(nm), unit));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "1′ 0½″",
        "1’ 0-½”",
        "1‘ 0 ½“",
        "1'\u00a00\u202f½\"",
        "1'\u20090½''",
        "1FT 0½IN",
        "1Ft ½ iN",
        "1'\u2013½\"",
        "1'\u20110\u20101\u20442\"",
        "\t 1' ½\" \u00a0"
      })
  void readsTypographicMarksBlanksAndFractionsAndAnyCase(String text) {
    assertThat(mm(text)).isEqualTo(new Read(Length.ofNm(317_500_000), LengthUnit.FT));
  }

  @ParameterizedTest
  @CsvSource({"½, 32", "¼, 16", "¾, 48", "⅛, 8", "⅜, 24", "⅝, 40", "⅞, 56"})
  void readsUnicodeFractions(String fraction, int sixtyFourths) {
    Length whole = Length.ofNm(2 * 25_400_000L);
    Length part = Length.ofNm(396_875L * sixtyFourths);
    assertThat(lengthOf(fraction + " in")).isEqualTo(part);
    assertThat(lengthOf("2" + fraction + "\"")).isEqualTo(whole.plus(part));
    assertThat(lengthOf("2-" + fraction + "\"")).isEqualTo(whole.plus(part));
  }

  @Test
  void givesABareNumberTheDefaultUnit() {
    assertThat(LengthReader.read("1.5", LengthUnit.M, false))
        .isEqualTo(new Read(Length.ofMm(1500), LengthUnit.M));
    assertThat(LengthReader.read("12 1/2", LengthUnit.IN, false))
        .isEqualTo(new Read(Length.ofNm(317_500_000), LengthUnit.IN));
    assertThat(LengthReader.read("1½", LengthUnit.FT, false))
        .isEqualTo(new Read(Length.ofNm(457_200_000), LengthUnit.FT));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      quoteCharacter = '`',
      value = {
        "505,5; 505500000",
        "0,505 m; 505000000",
        "12,125\"; 307975000",
        ",5 mm; 500000",
        "505.5; 505500000",
        "1.250 m; 1250000000",
        "413.000; 413000000",
        "12.125 in; 307975000",
        "0.505; 505000",
        "4,000; 4000000",
      })
  void readsADecimalCommaWhereItIsOneAndStillThePoint(String text, long nm) {
    LengthReading reading = LengthReader.read(text, LengthUnit.MM, true);
    assertThat(reading).isInstanceOfSatisfying(Read.class, r -> assertNm(r, nm));
  }

  @ParameterizedTest
  @ValueSource(strings = {"4.000", "4.000 mm", "12.500", "-1.200"})
  void refusesMillimetresThatCouldBeMetresWhereTheCommaIsTheDecimalMark(String text) {
    assertThat(LengthReader.read(text, LengthUnit.MM, true)).isInstanceOf(Unreadable.class);
    assertThat(LengthReader.read(text, LengthUnit.MM, false)).isInstanceOf(Read.class);
  }

  @Test
  void namesBothMeaningsOfMillimetresThatCouldBeMetres() {
    assertThat(LengthReader.read("4.000", LengthUnit.MM, true))
        .isEqualTo(
            new Unreadable(
                "\"4.000\" can mean 4,000 mm or 4000 mm",
                "write 4,000 or 4000, whichever is meant"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      value = {
        "-505          | -505000000",
        "−505 mm       | -505000000",
        "- 12-1/2 in   | -317500000",
        "-1' 6\"       | -457200000",
        "-0            | 0",
        "0             | 0",
        "0/2 in        | 0",
        "0' 0\"        | 0",
      })
  void readsNegativeAndZeroSoThatTheCallerCanRefuseThem(String text, long nm) {
    assertThat(lengthOf(text).nm()).isEqualTo(nm);
  }

  @Test
  void readsTheLongestLengthsAndNoneBeyond() {
    assertThat(lengthOf("9223372036854.775807 mm").nm()).isEqualTo(Long.MAX_VALUE);
    assertThat(lengthOf("-9223372036854.775808 mm").nm()).isEqualTo(Long.MIN_VALUE);
    assertThat(refusal("9223372036854.775808 mm").message()).contains("is beyond");
    assertThat(refusal("-9223372036854.775809 mm").message()).contains("is beyond");
    assertThat(refusal("9".repeat(40)).message()).contains("is beyond");
    assertThat(refusal("9".repeat(30) + "' 6\"").message()).contains("is beyond");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      value = {
        "12,5        | \"12,5\" has a comma                     | write 12.5, or use ; between columns",
        "1,200       | \"1,200\" has a comma                    | write 1.200 or 1200",
        "1,234.5     | more than one point or comma             | write 1234.5: one decimal mark",
        "1.234,5     | more than one point or comma             | write 1234.5:",
        "1.234.567   | more than one point or comma             | write 1234567:",
        "..          | more than one point or comma             | write a length such as 505",
        "5.          | ends a number in a decimal mark          | write 5, or give the decimals",
        ".           | ends a number in a decimal mark          | write a length such as 505",
        "1 234       | several numbers                          | write one number without blanks",
        "3-4         | several numbers                          | write one number without blanks",
        "½½ in       | several numbers                          | such as 12-1/2 in",
        "12.5 1/2 in | several numbers                          | such as 12-1/2 in",
        "2027-03-01  | several numbers                          | write one number without blanks",
        "1e9         | has an exponent                          | write all digits",
        "1.5E-3 mm   | has an exponent                          | write all digits",
        "5 yd        | has the unit \"yd\", which is not known  | use mm, cm, m, in",
        "0x10        | has the unit \"x\", which is not known   | use mm, cm, m, in",
        "5 µm        | has µ, which is no part of a length      | write a length such as 505",
        "+5          | has +, which is no part of a length      | write a length such as 505",
        "≈ 19.8819 in | has ≈, which is no part of a length     | write a length such as 505",
        "⅓ in        | has ⅓, which is no part of a length      | write a length such as 505",
        "NaN         | \"NaN\" has no number                    | write a length such as 505",
        "-Infinity   | has no number                            | write a length such as 505",
        "mm          | has no number                            | write a length such as 505",
        "-           | has no number                            | write a length such as 505",
        "12 1/2      | is a fraction in mm                      | give the unit as in 12-1/2 in",
        "1/2 cm      | is a fraction in cm                      | write a decimal such as 12.5 cm",
        "1/3 in      | has a fraction over 3;                   | write the nearest 64th, 21/64,",
        "1/256 in    | has a fraction over 256;                 | write the nearest 64th, 0/64,",
        "1/0 in      | has a fraction over 0                    | write a fraction such as 1/2 in",
        "12 3/2 in   | a fraction of 1 or more behind           | write a fraction less than 1",
        "1/2/3 in    | has a fraction that is not               | write a fraction such as 1/2 in",
        "1/ in       | has a fraction that is not               | write a fraction such as 1/2 in",
        "/2 in       | has a fraction that is not               | write a fraction such as 1/2 in",
        "1.5/2 in    | has a fraction that is not               | write a fraction such as 1/2 in",
        "1/2.5 in    | has a fraction that is not               | write a fraction such as 1/2 in",
        "1/128 in    | is not a whole number of nanometres      | round it to a 64th",
        "1/1000000 in | is not a whole number of nanometres     | at most 5 decimals",
        "0.0000001   | is not a whole number of nanometres      | at most 6 decimals of mm",
        "0.0000000001 m | is not a whole number of nanometres   | at most 9 decimals of m",
        "0.00000001 cm | is not a whole number of nanometres    | at most 7 decimals of cm",
        "0.000001\"  | is not a whole number of nanometres      | at most 5 decimals of in",
        "1' 0.000001\" | is not a whole number of nanometres    | at most 5 decimals of in",
        "1' 6        | a number behind the feet without a unit  | mark the inches, as in 1' 6\"",
        "1'234       | a number behind the feet without a unit  | without a mark between thousands",
        "1.5' 3\"    | inches behind feet that are not whole    | decimal feet alone, as in 1.5 ft",
        "1½' 3\"     | inches behind feet that are not whole    | write whole feet and inches",
        "1' 12\"     | has 12 inches or more behind the feet    | write less than 12 in",
        "1 ft.5 in   | a point between \"ft\" and a number | put a blank behind the unit",
        "6\" 1'      | is not written as a length               | write a length such as 505",
        "1 m 50 cm   | is not written as a length               | write a length such as 505",
        "--5         | is not written as a length               | write a length such as 505",
        "5-          | is not written as a length               | write a length such as 505",
        "5 mm.       | ends a number in a decimal mark          | write a length such as 505",
      })
  void refusesWithWhatWasFoundAndWhatToWrite(String text, String message, String hint) {
    Unreadable unreadable = refusal(text);
    assertThat(unreadable.message()).contains(message);
    assertThat(unreadable.hint()).contains(hint);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", " ", "\t", "\u00a0\u202f"})
  void refusesAnEmptyText(String text) {
    assertThat(refusal(text).message()).isEqualTo("the length is empty");
  }

  @Test
  void readsAlikeUnderLocalesWithOtherDigitsMarksAndCases() {
    Locale before = Locale.getDefault();
    try {
      for (String tag : new String[] {"tr-TR", "de-DE", "ar-EG-u-nu-arab", "th-TH-u-nu-thai"}) {
        Locale.setDefault(Locale.forLanguageTag(tag));
        assertThat(lengthOf("12-1/2 IN").nm()).as(tag).isEqualTo(317_500_000);
        assertThat(lengthOf("1 INCH").nm()).as(tag).isEqualTo(25_400_000);
        assertThat(lengthOf("505.5 MM").nm()).as(tag).isEqualTo(505_500_000);
        assertThat(refusal("1\u200b").message()).as(tag).endsWith("character U+200B");
        assertThat(refusal("1/3 in").hint()).as(tag).contains("21/64");
      }
    } finally {
      Locale.setDefault(before);
    }
  }

  private static LengthReading mm(String text) {
    return LengthReader.read(text, LengthUnit.MM, false);
  }

  private static Length lengthOf(String text) {
    LengthReading reading = mm(text);
    assertThat(reading).as(text).isInstanceOf(Read.class);
    return ((Read) reading).length();
  }

  private static Unreadable refusal(String text) {
    LengthReading reading = mm(text);
    assertThat(reading).as(text).isInstanceOf(Unreadable.class);
    return (Unreadable) reading;
  }

  private static void assertNm(Read read, long nm) {
    assertThat(read.length().nm()).isEqualTo(nm);
  }
}
