package org.kerftally.shared.length;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Timeout;
import org.kerftally.shared.length.LengthReading.Read;
import org.kerftally.shared.length.LengthReading.Unreadable;

/**
 * Holds that any text is one exact length or says why not, and that a length which is printed reads
 * back as itself. The first byte of an input chooses the unit and the decimal mark; the rest is the
 * text, in UTF-8 or, so that halves of characters occur too, in UTF-16.
 */
final class LengthFuzzTest {

  private static final int LONGEST_ANSWER_CHARS = 500;
  private static final LengthUnit[] UNITS = LengthUnit.values();

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void aTextIsOneLengthOrSaysWhyNot(byte[] input) {
    if (input.length == 0) {
      return;
    }
    int choice = input[0] - '0' & 0xFF;
    LengthUnit unit = UNITS[choice % UNITS.length];
    boolean comma = choice / UNITS.length % 2 == 1;
    boolean wide = choice / UNITS.length / 2 % 2 == 1;
    String text =
        new String(
            input, 1, input.length - 1, wide ? StandardCharsets.UTF_16BE : StandardCharsets.UTF_8);
    LengthReading reading = LengthReader.read(text, unit, comma);
    assertThat(LengthReader.read(text, unit, comma)).isEqualTo(reading);
    if (reading instanceof Read read) {
      assertPrintsAndReadsBack(read.length());
    } else if (reading instanceof Unreadable unreadable) {
      assertHarmless(unreadable.message());
      assertHarmless(unreadable.hint());
    }
  }

  private static void assertPrintsAndReadsBack(Length length) {
    assertThat(exactly(LengthText.writeBare(length), LengthUnit.MM)).isEqualTo(length);
    for (LengthUnit printed : UNITS) {
      String text = LengthText.write(length, printed);
      if (text.startsWith("≈")) {
        assertThat(printed == LengthUnit.IN || printed == LengthUnit.FT).as(text).isTrue();
        assertThat(LengthReader.read(text, LengthUnit.MM, false)).isInstanceOf(Unreadable.class);
      } else {
        // What is printed has its unit, so the default unit and the decimal mark change nothing.
        assertThat(exactly(text, LengthUnit.MM)).as(text).isEqualTo(length);
        assertThat(exactly(text, LengthUnit.FT)).as(text).isEqualTo(length);
      }
    }
  }

  private static Length exactly(String text, LengthUnit unit) {
    LengthReading reading = LengthReader.read(text, unit, false);
    assertThat(reading).as(text).isInstanceOf(Read.class);
    return ((Read) reading).length();
  }

  /** One short line without characters that could break a log, a terminal or a page's direction. */
  private static void assertHarmless(String answer) {
    assertThat(answer.isBlank()).isFalse();
    assertThat(answer.length()).isLessThan(LONGEST_ANSWER_CHARS);
    assertThat(
            answer
                .codePoints()
                .noneMatch(
                    c ->
                        Character.isISOControl(c)
                            || Character.getType(c) == Character.FORMAT
                            || Character.getType(c) == Character.SURROGATE
                            || c == 0x2028
                            || c == 0x2029))
        .as(answer)
        .isTrue();
  }
}
