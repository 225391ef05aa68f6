package org.kerftally.shared.length;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.stream.IntStream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.kerftally.shared.length.LengthReading.Read;

/** Checks inches and feet against NIST SP 811 (2008), appendix B: 1 in = 25.4 mm exactly. */
final class InchTableTest {

  static IntStream sixtyFourths() {
    return IntStream.rangeClosed(0, 64);
  }

  @ParameterizedTest
  @MethodSource("sixtyFourths")
  void every64thOfAnInchIsAWholeNumberOfNanometres(int count) {
    // 25.4 mm / 64 = 0.396875 mm, which is a finite decimal.
    BigDecimal mm = new BigDecimal("0.396875").multiply(BigDecimal.valueOf(count));
    Length length = length(count + "/64 in");
    assertThat(length.toMm()).isEqualByComparingTo(mm);
    assertThat(length.nm()).isEqualTo(25_400_000L * count / 64).isEqualTo(396_875L * count);
    assertThat(length(LengthText.write(length, LengthUnit.IN))).isEqualTo(length);
    assertThat(length(LengthText.write(length, LengthUnit.FT))).isEqualTo(length);
  }

  /** The millimetres are the product of 25.4 and the decimal inches, worked out by hand. */
  @ParameterizedTest
  @CsvSource({
    "1/64 in, 0.396875",
    "1/32 in, 0.79375",
    "1/16 in, 1.5875",
    "1/8 in, 3.175",
    "1/4 in, 6.35",
    "3/8 in, 9.525",
    "1/2 in, 12.7",
    "5/8 in, 15.875",
    "3/4 in, 19.05",
    "7/8 in, 22.225",
    "63/64 in, 25.003125",
    "1 in, 25.4",
    "1-1/64 in, 25.796875",
    "9-5/8 in, 244.475",
    "12 in, 304.8",
    "1 ft, 304.8",
    "3 ft, 914.4",
    "8 ft, 2438.4",
    "8 ft 1/2 in, 2451.1",
  })
  void inchesAndFeetAreTheirPublishedMillimetres(String text, BigDecimal mm) {
    assertThat(length(text).toMm()).isEqualByComparingTo(mm);
  }

  private static Length length(String text) {
    LengthReading reading = LengthReader.read(text, LengthUnit.MM, false);
    assertThat(reading).as(text).isInstanceOf(Read.class);
    return ((Read) reading).length();
  }
}
