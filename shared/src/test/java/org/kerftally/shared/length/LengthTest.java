package org.kerftally.shared.length;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.SplittableRandom;
import java.util.function.Supplier;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.SeededCases;

final class LengthTest {

  private static final Length LONGEST = Length.ofNm(Long.MAX_VALUE);
  private static final Length SHORTEST = Length.ofNm(Long.MIN_VALUE);

  @Test
  void unitsHaveTheirDefinedSizes() {
    assertThat(LengthUnit.MM.nm()).isEqualTo(1_000_000L);
    assertThat(LengthUnit.CM.nm()).isEqualTo(10 * LengthUnit.MM.nm());
    assertThat(LengthUnit.M.nm()).isEqualTo(1_000 * LengthUnit.MM.nm());
    // NIST SP 811 (2008), appendix B: 1 in = 25.4 mm and 1 ft = 0.3048 m, both exactly.
    assertThat(LengthUnit.IN.nm()).isEqualTo(25_400_000L);
    assertThat(LengthUnit.FT.nm()).isEqualTo(304_800_000L).isEqualTo(12 * LengthUnit.IN.nm());
    assertThat(LengthUnit.values())
        .extracting(LengthUnit::symbol)
        .containsExactly("mm", "cm", "m", "in", "ft");
  }

  @Test
  void sumsDifferencesAndMultiplesAreThoseOfUnboundedIntegersOrRefused() {
    SeededCases.run(
        5_000,
        random -> {
          Length a = anyLength(random);
          Length b = anyLength(random);
          BigInteger x = BigInteger.valueOf(a.nm());
          BigInteger y = BigInteger.valueOf(b.nm());
          assertExact(() -> a.plus(b), x.add(y));
          assertExact(() -> a.minus(b), x.subtract(y));
          assertExact(() -> a.times(b.nm()), x.multiply(y));
          assertExact(a::abs, x.abs());
          assertThat(a.compareTo(b)).isEqualTo(x.compareTo(y));
          assertThat(a.isLessThan(b)).isEqualTo(x.compareTo(y) < 0);
          assertThat(a.isMoreThan(b)).isEqualTo(x.compareTo(y) > 0);
          assertThat(a.max(b).nm()).isEqualTo(x.max(y).longValueExact());
          assertThat(a.min(b).nm()).isEqualTo(x.min(y).longValueExact());
        });
  }

  @Test
  void refusesToOverflow() {
    Length one = Length.ofNm(1);
    assertThatThrownBy(() -> LONGEST.plus(one)).isInstanceOf(ArithmeticException.class);
    assertThatThrownBy(() -> SHORTEST.minus(one)).isInstanceOf(ArithmeticException.class);
    assertThatThrownBy(() -> LONGEST.times(2)).isInstanceOf(ArithmeticException.class);
    assertThatThrownBy(SHORTEST::abs).isInstanceOf(ArithmeticException.class);
    assertThatThrownBy(() -> Length.ofMm(Long.MAX_VALUE)).isInstanceOf(ArithmeticException.class);
  }

  @Test
  void zeroIsNeitherPositiveNorNegative() {
    assertThat(Length.ofMm(0)).isSameAs(Length.ZERO);
    assertThat(Length.ZERO.isPositive()).isFalse();
    assertThat(Length.ZERO.isNegative()).isFalse();
    assertThat(Length.ofNm(1).isPositive()).isTrue();
    assertThat(Length.ofNm(-1).isNegative()).isTrue();
  }

  @ParameterizedTest
  @CsvSource({
    "505.0, 505000000",
    "505.02, 505020000",
    "0.1, 100000",
    "-3.2, -3200000",
    "-0.0, 0",
    "0.0000005, 0",
    "0.0000015, 2",
    "0.0000025, 2",
    "1e-300, 0",
  })
  void takesADevicesReadingToTheNearestNanometreHalfToEven(double mm, long nm) {
    assertThat(Length.ofReadingMm(mm).nm()).isEqualTo(nm);
  }

  @ParameterizedTest
  @ValueSource(
      doubles = {
        Double.NaN,
        Double.POSITIVE_INFINITY,
        Double.NEGATIVE_INFINITY,
        1e13,
        -1e13,
        Double.MAX_VALUE
      })
  void refusesADevicesReadingThatIsNoLength(double mm) {
    assertThatThrownBy(() -> Length.ofReadingMm(mm)).isInstanceOf(ArithmeticException.class);
  }

  @Test
  void aReadingOfWorkshopSizeSurvivesTheDeviceBoundary() {
    SeededCases.run(
        5_000,
        random -> {
          // A double has 53 bits: up to 100 m every nanometre comes back.
          Length length = Length.ofNm(random.nextLong(-100_000_000_000L, 100_000_000_000L));
          assertThat(Length.ofReadingMm(length.toReadingMm())).isEqualTo(length);
        });
  }

  @Test
  void millimetresAreExactAndWithoutTrailingZerosOrExponent() {
    assertThat(Length.ofNm(396_875).toMm()).isEqualTo(new BigDecimal("0.396875"));
    assertThat(Length.ofMm(2400).toMm()).isEqualTo(new BigDecimal("2400"));
    assertThat(Length.ZERO.toMm()).isEqualTo(BigDecimal.ZERO);
    assertThat(Length.ofMm(2400)).hasToString("2400 mm");
    assertThat(Length.ofNm(317_500_000)).hasToString("317.5 mm");
    assertThat(Length.ofNm(-1)).hasToString("-0.000001 mm");
    assertThat(SHORTEST).hasToString("-9223372036854.775808 mm");
  }

  private static Length anyLength(SplittableRandom random) {
    return Length.ofNm(random.nextLong() >> random.nextInt(64));
  }

  private static void assertExact(Supplier<Length> operation, BigInteger expected) {
    if (expected.bitLength() < Long.SIZE) {
      assertThat(operation.get().nm()).isEqualTo(expected.longValueExact());
    } else {
      assertThatThrownBy(operation::get).isInstanceOf(ArithmeticException.class);
    }
  }
}
