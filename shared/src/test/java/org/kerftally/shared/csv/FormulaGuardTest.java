package org.kerftally.shared.csv;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.SeededCases;

final class FormulaGuardTest {

  private static final int CASES = 20_000;

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '`',
      delimiter = '|',
      value = {
        "=A1 | '=A1",
        "-40x20 | '-40x20",
        "'=A1 | ''=A1",
        "side; @sum | side; '@sum",
        "side;''+1 | side;'''+1",
        "19x146-2 | 19x146-2",
        "'tis | 'tis",
        "o'-x | o'-x",
      })
  void aTextAndWhatIsWrittenForItSayEachOther(String text, String written) {
    assertThat(FormulaGuard.put(text)).isEqualTo(written);
    assertThat(FormulaGuard.take(written)).isEqualTo(text);
  }

  @ParameterizedTest
  @ValueSource(strings = {"P-11", "'", "''", "'P-11", "=A1", "a '=b", "don't", "side, 'end'"})
  void whatNoGuardWasPutOnIsLeftAsItIs(String text) {
    assertThat(FormulaGuard.take(text)).isEqualTo(text);
  }

  @Test
  void whateverIsGuardedIsGivenBack() {
    String alphabet = "ab' ''=+-@\uFF1D\uFF20,;|\"\t\r\n\u00a0x";
    AtomicInteger guarded = new AtomicInteger();
    SeededCases.run(
        CASES,
        random -> {
          StringBuilder text = new StringBuilder();
          for (int i = random.nextInt(12); i > 0; i--) {
            text.append(alphabet.charAt(random.nextInt(alphabet.length())));
          }
          String written = FormulaGuard.put(text.toString());
          guarded.addAndGet(written.contentEquals(text) ? 0 : 1);
          assertThat(FormulaGuard.take(written)).as("%s", written).isEqualTo(text.toString());
        });
    if (SeededCases.runsAll()) {
      assertThat(guarded.get()).as("texts that had a guard").isGreaterThan(CASES / 4);
    }
  }
}
