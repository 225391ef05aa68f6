package org.kerftally.shared.length;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.SeededCases;
import org.kerftally.shared.length.LengthReading.Read;
import org.kerftally.shared.length.LengthReading.Unreadable;

final class LengthReaderHostileTest {

  /** Generous for a slow machine, and far less than a number of a hundred million digits takes. */
  private static final Duration BOUND = Duration.ofSeconds(20);

  private static final int LONGEST_ANSWER_CHARS = 500;

  @ParameterizedTest
  @ValueSource(strings = {"1e100000000", "1E100000000", "1e-100000000 mm", "1e2147483648"})
  void refusesExponentsBeforeAnyNumberIsBuilt(String text) {
    Unreadable answer = assertTimeoutPreemptively(BOUND, () -> refusal(text));
    assertThat(answer.message()).contains("has an exponent");
  }

  @Test
  void refusesEndlessTextBeforeAnyNumberIsBuilt() {
    String digits = "9".repeat(5_000_000);
    Unreadable answer = assertTimeoutPreemptively(BOUND, () -> refusal(digits));
    assertThat(answer.message())
        .isEqualTo(
            "\"99999999999999999999…\" is longer than the 40 characters that a length may have");
  }

  @Test
  void takesFortyCharactersAndNotFortyOne() {
    String forty = "0".repeat(37) + "505";
    assertThat(read(forty)).isEqualTo(new Read(Length.ofMm(505), LengthUnit.MM));
    assertThat(read("  " + forty + "\t")).isEqualTo(read(forty));
    assertThat(refusal("0" + forty).message()).contains("longer than the 40 characters");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "505\u200f",
        "\u202e505",
        "5\u200b05",
        "505\u0000",
        "\ufeff505",
        "505\n",
        "50\r5",
        "505\u0085",
        "505\ud800",
        "505\u2028",
        "505\u001b[31m",
        "505\u0338"
      })
  void namesInvisibleCharactersAndNeverRepeatsThem(String text) {
    Unreadable answer = refusal(text);
    assertThat(answer.message()).contains("has the invisible character U+");
    assertHarmless(answer.message());
  }

  @ParameterizedTest
  @ValueSource(strings = {"٥٠٥", "५०५", "５０５", "1٣", "𝟓𝟎𝟓", "5 1/٢ in", "12/๒ in"})
  void refusesDigitsOfOtherScripts(String text) {
    Unreadable answer = refusal(text);
    assertThat(answer.message()).containsAnyOf("which is none of 0 to 9", "has a fraction that");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "NaN",
        "Infinity",
        "-Infinity",
        "null",
        "0x1p3",
        "1d",
        "1f",
        "1L",
        "1_000",
        "1'000",
        "#REF!",
        "=1+1",
        "505;DROP",
        "505 mm mm",
        "1/2 1/2 in",
        "12 in 1/2",
        "٫5",
        "5٫5",
        "''",
        "\"\"",
        "'''",
        "1''' in",
        "mm 5",
        "in",
        "/",
        "1//2 in",
        "-/-",
        "- -",
        "½/2 in",
        "1/½ in",
        "5 ın",
        "5 İN",
        "5 ｍｍ",
        "1 ft 6 ft",
        "1 in 6 in",
        "1' 2' 3\"",
        "1'′ in",
        "1' --6\"",
        "Ⅻ in",
        "㎜",
        "5㎜"
      })
  void refusesWhatOnlyLooksLikeALength(String text) {
    Unreadable answer = refusal(text);
    assertThat(answer.message()).isNotBlank();
    assertThat(answer.hint()).isNotBlank();
  }

  @Test
  void answersAnyCharactersWhateverTheyAre() {
    SeededCases.run(
        5_000,
        random -> {
          StringBuilder text = new StringBuilder();
          int chars = random.nextInt(45);
          for (int i = 0; i < chars; i++) {
            boolean wild = random.nextInt(8) == 0;
            text.append((char) (wild ? random.nextInt(0x10000) : ' ' + random.nextInt(0x60)));
          }
          LengthReading reading =
              LengthReader.read(text.toString(), LengthUnit.IN, random.nextBoolean());
          if (reading instanceof Unreadable unreadable) {
            assertHarmless(unreadable.message());
            assertHarmless(unreadable.hint());
          }
        });
  }

  /** One short line without characters that could break a log, a terminal or a page's direction. */
  private static void assertHarmless(String answer) {
    assertThat(answer).isNotBlank().hasSizeLessThan(LONGEST_ANSWER_CHARS);
    assertThat(answer.codePoints())
        .noneMatch(Character::isISOControl)
        .noneMatch(c -> Character.getType(c) == Character.FORMAT)
        .noneMatch(c -> Character.getType(c) == Character.SURROGATE)
        .noneMatch(c -> c == 0x2028 || c == 0x2029);
  }

  private static LengthReading read(String text) {
    return LengthReader.read(text, LengthUnit.MM, false);
  }

  private static Unreadable refusal(String text) {
    LengthReading reading = read(text);
    assertThat(reading).as(text).isInstanceOf(Unreadable.class);
    return (Unreadable) reading;
  }
}
