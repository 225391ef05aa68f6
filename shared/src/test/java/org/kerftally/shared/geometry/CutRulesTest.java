package org.kerftally.shared.geometry;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.shared.SeededCases;
import org.kerftally.shared.length.Length;

final class CutRulesTest {

  private static final Length KERF = Length.ofNm(3_200_000);

  @Test
  void theRemainderIsWhatTrimPartsAndOneKerfAPartLeave() {
    // 2440 − 10 − 4 · 505 − 4 · 3.2 = 397.2
    Length remainder =
        rules(Length.ZERO, false)
            .remainder(Length.ofMm(2440), Length.ofMm(10), Length.ofMm(4 * 505), 4);
    assertThat(remainder).isEqualTo(Length.ofNm(397_200_000));
  }

  @Test
  void theRemainderIsThatOfCuttingPartAfterPart() {
    SeededCases.run(
        2_000,
        random -> {
          Length stick = Length.ofNm(random.nextLong(6_000_000_000L));
          Length trim = Length.ofNm(random.nextLong(20_000_000L));
          Length left = stick.minus(trim);
          Length sum = Length.ZERO;
          int parts = random.nextInt(30);
          for (int i = 0; i < parts; i++) {
            Length part = Length.ofNm(1 + random.nextLong(500_000_000L));
            sum = sum.plus(part);
            left = left.minus(part).minus(KERF);
          }
          assertThat(rules(Length.ZERO, true).remainder(stick, trim, sum, parts)).isEqualTo(left);
        });
  }

  @ParameterizedTest
  @CsvSource({
    "0, true, true",
    "1, true, true",
    "-1, false, true",
    "-3199999, false, true",
    "-3200000, true, true",
    "-3200001, false, false",
    "500000000, true, true",
  })
  void withoutATailTheLastPieceMayEndFlushOrBySliverWhereAllowed(
      long remainderNm, boolean fits, boolean fitsWithSlivers) {
    Length remainder = Length.ofNm(remainderNm);
    assertThat(rules(Length.ZERO, false).fits(remainder)).isEqualTo(fits);
    assertThat(rules(Length.ZERO, true).fits(remainder)).isEqualTo(fitsWithSlivers);
  }

  @ParameterizedTest
  @CsvSource({"59999999, false", "60000000, true", "60000001, true", "0, false", "-3200000, false"})
  void withATailTheClampMustKeepItsHold(long remainderNm, boolean fits) {
    Length tail = Length.ofMm(60);
    assertThat(rules(tail, false).fits(Length.ofNm(remainderNm))).isEqualTo(fits);
    assertThat(rules(tail, true).fits(Length.ofNm(remainderNm))).isEqualTo(fits);
  }

  @Test
  void aBladeWithoutWidthLeavesNothingBetweenFlushAndTooShort() {
    CutRules rules = new CutRules(Length.ZERO, Length.ZERO, Length.ZERO, Length.ZERO, true);
    assertThat(rules.fits(Length.ZERO)).isTrue();
    assertThat(rules.fits(Length.ofNm(-1))).isFalse();
  }

  @ParameterizedTest
  @CsvSource({"299999999, false", "300000000, true", "300000001, true", "0, false", "-1, false"})
  void aRemainderIsKeptFromTheLeastOffcutOn(long remainderNm, boolean kept) {
    assertThat(rules(Length.ZERO, true).worthKeeping(Length.ofNm(remainderNm))).isEqualTo(kept);
  }

  @Test
  void nothingIsNeverKept() {
    CutRules rules = new CutRules(KERF, Length.ZERO, Length.ZERO, Length.ZERO, true);
    assertThat(rules.worthKeeping(Length.ZERO)).isFalse();
    assertThat(rules.worthKeeping(Length.ofNm(-1))).isFalse();
    assertThat(rules.worthKeeping(Length.ofNm(1))).isTrue();
  }

  private static CutRules rules(Length tail, boolean sliverCuts) {
    return new CutRules(KERF, Length.ofMm(10), tail, Length.ofMm(300), sliverCuts);
  }
}
