package org.kerftally.shared.length;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.kerftally.shared.SeededCases;
import org.kerftally.shared.length.LengthReading.Read;
import org.kerftally.shared.length.LengthReading.Unreadable;

final class LengthTextTest {

  private static final int CASES = 6_000;

  @ParameterizedTest
  @CsvSource({
    "317500000, MM, 317.5 mm",
    "505000000, MM, 505 mm",
    "396875, MM, 0.396875 mm",
    "1, MM, 0.000001 mm",
    "0, MM, 0 mm",
    "-3200000, MM, -3.2 mm",
    "505000000, CM, 50.5 cm",
    "1, CM, 0.0000001 cm",
    "505000000, M, 0.505 m",
    "20000000000, M, 20 m",
    "1, M, 0.000000001 m",
    "0, M, 0 m",
    "317500000, IN, 12-1/2 in",
    "304800000, IN, 12 in",
    "12700000, IN, 1/2 in",
    "396875, IN, 1/64 in",
    "25003125, IN, 63/64 in",
    "0, IN, 0 in",
    "-317500000, IN, -12-1/2 in",
    "127, IN, 0.000005 in",
    "2540000, IN, 0.1 in",
    "505000000, IN, ≈ 19.8819 in",
    "-505000000, IN, ≈ -19.8819 in",
    "1, IN, ≈ 0 in",
    "-1, IN, ≈ 0 in",
    "457200000, FT, 1 ft 6 in",
    "469900000, FT, 1 ft 6-1/2 in",
    "317500000, FT, 1 ft 1/2 in",
    "304800000, FT, 1 ft",
    "165100000, FT, 6-1/2 in",
    "0, FT, 0 ft",
    "-469900000, FT, -1 ft 6-1/2 in",
    "307340000, FT, 1 ft 0.1 in",
    "505000000, FT, ≈ 1 ft 7.8819 in",
    "304799999, FT, ≈ 1 ft",
    "1, FT, ≈ 0 ft",
  })
  void writesForPeople(long nm, LengthUnit unit, String text) {
    assertThat(LengthText.write(Length.ofNm(nm), unit)).isEqualTo(text);
  }

  @Test
  void writesBareMillimetresExactly() {
    assertThat(LengthText.writeBare(Length.ofNm(396_875))).isEqualTo("0.396875");
    assertThat(LengthText.writeBare(Length.ofMm(2440))).isEqualTo("2440");
    assertThat(LengthText.writeBare(Length.ofMm(-100))).isEqualTo("-100");
    assertThat(LengthText.writeBare(Length.ZERO)).isEqualTo("0");
    assertThat(LengthText.writeBare(Length.ofNm(Long.MIN_VALUE)))
        .isEqualTo("-9223372036854.775808");
  }

  @ParameterizedTest
  @EnumSource
  void readsBackTheSameLengthUnlessMarkedAsApproximate(LengthUnit unit) {
    AtomicInteger exact = new AtomicInteger();
    SeededCases.run(
        CASES,
        random -> {
          Length length = anyLength(random);
          String text = LengthText.write(length, unit);
          LengthReading reading = LengthReader.read(text, LengthUnit.MM, false);
          if (text.startsWith("≈")) {
            assertThat(length.nm() % 127).as(text).isNotZero();
            assertThat(reading).as(text).isInstanceOf(Unreadable.class);
            assertNear(length, text);
            return;
          }
          exact.incrementAndGet();
          assertThat(reading)
              .as(text)
              .isInstanceOfSatisfying(
                  Read.class, read -> assertThat(read.length()).isEqualTo(length));
        });
    if (SeededCases.runsAll()) {
      assertThat(exact.get()).as("lengths written exactly").isGreaterThan(CASES / 4);
    }
  }

  @Test
  void readsBackBareMillimetres() {
    SeededCases.run(
        CASES,
        random -> {
          Length length = anyLength(random);
          assertThat(LengthReader.read(LengthText.writeBare(length), LengthUnit.MM, false))
              .isEqualTo(new Read(length, LengthUnit.MM));
        });
  }

  @ParameterizedTest
  @EnumSource
  void readsBackTheShortestAndLongestLengths(LengthUnit unit) {
    for (long nm : new long[] {Long.MIN_VALUE, Long.MAX_VALUE, Long.MAX_VALUE / 127 * 127}) {
      String text = LengthText.write(Length.ofNm(nm), unit);
      if (!text.startsWith("≈")) {
        assertThat(LengthReader.read(text, LengthUnit.MM, false))
            .as(text)
            .isInstanceOfSatisfying(
                Read.class, read -> assertThat(read.length().nm()).isEqualTo(nm));
      }
    }
  }

  @Test
  void writesAlikeUnderLocalesWithADecimalCommaOrOtherCases() {
    Locale before = Locale.getDefault();
    try {
      for (String tag : new String[] {"tr-TR", "de-DE", "ar-EG-u-nu-arab"}) {
        Locale.setDefault(Locale.forLanguageTag(tag));
        Length length = Length.ofNm(317_500_000);
        assertThat(LengthText.write(length, LengthUnit.MM)).as(tag).isEqualTo("317.5 mm");
        assertThat(LengthText.write(length, LengthUnit.IN)).as(tag).isEqualTo("12-1/2 in");
        assertThat(LengthText.writeBare(length)).as(tag).isEqualTo("317.5");
        assertThat(length).as(tag).hasToString("317.5 mm");
      }
    } finally {
      Locale.setDefault(before);
    }
  }

  private static Length anyLength(SplittableRandom random) {
    long sign = random.nextInt(5) == 0 ? -1 : 1;
    return Length.ofNm(
        sign
            * switch (random.nextInt(5)) {
              case 0 -> 396_875L * random.nextInt(20_000);
              case 1 -> 127L * random.nextLong(100_000_000L);
              case 2 -> 100_000L * random.nextInt(60_000);
              case 3 -> random.nextLong(20_000_000_000L);
              default -> random.nextLong(Long.MAX_VALUE) >> random.nextInt(40);
            });
  }

  /** An approximation is within half of 1/10 000 in: 1270 nm. */
  private static void assertNear(Length length, String text) {
    LengthReading reading = LengthReader.read(text.substring(2), LengthUnit.MM, false);
    assertThat(reading)
        .as(text)
        .isInstanceOfSatisfying(
            Read.class,
            read ->
                assertThat(BigDecimal.valueOf(read.length().nm()))
                    .isBetween(
                        BigDecimal.valueOf(length.nm()).subtract(BigDecimal.valueOf(1270)),
                        BigDecimal.valueOf(length.nm()).add(BigDecimal.valueOf(1270))));
  }
}
