package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Timeout;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.problem.Problem;

/**
 * Holds that any text is a site within bounds, which printed in full reads back as itself, or a
 * list of problems that are fit to be shown and name a place.
 */
class SiteConfigFuzzTest {

  private static final int LONGEST_PROBLEM_CHARS = 1_000;
  private static final Length FARTHEST = Length.ofMm(100_000);

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void aTextIsASiteOrProblemsWithTheirPlaces(byte[] input) {
    String yaml = new String(input, StandardCharsets.UTF_8);
    ConfigResult result = ConfigReader.read(yaml, "site.yaml");
    if (result instanceof ConfigResult.Good good) {
      assertWithinBounds(good.config());
      ConfigResult again = ConfigReader.read(good.effectiveYaml(), "site.yaml");
      assertThat(TestFiles.problems(again)).as(good.effectiveYaml()).isEmpty();
      assertThat(((ConfigResult.Good) again).config()).isEqualTo(good.config());
    } else if (result instanceof ConfigResult.Bad bad) {
      assertFitToBeShown(bad.problems(), (int) yaml.lines().count() + 1);
    }
  }

  private static void assertFitToBeShown(List<Problem> problems, int lines) {
    assertThat(problems.size()).isBetween(1, Findings.MAX_PROBLEMS + 1);
    for (Problem problem : problems) {
      String text = problem.text();
      assertThat(problem.file()).isEqualTo("site.yaml");
      assertThat(problem.line()).as(text).isBetween(0, lines);
      assertThat(problem.message().isBlank()).isFalse();
      assertThat(text.length()).as(text).isLessThan(LONGEST_PROBLEM_CHARS);
      assertThat(isShowable(text)).as(text).isTrue();
    }
  }

  private static boolean isShowable(String text) {
    for (int i = 0; i < text.length(); i += Character.charCount(text.codePointAt(i))) {
      int codePoint = text.codePointAt(i);
      if (Character.charCount(codePoint) == 1 && Found.isHidden((char) codePoint)) {
        return false;
      }
    }
    return true;
  }

  private static void assertWithinBounds(SiteConfig site) {
    assertThat(site.folder().isAbsolute()).isTrue();
    assertThat(site.stations()).isNotEmpty();
    assertThat(site.minOffcut()).isBetween(Length.ZERO, FARTHEST);
    assertThat(site.intake().maxBytes()).isBetween(1L << 10, 1L << 30);
    assertThat(site.stations().stream().map(StationConfig::name).distinct().count())
        .isEqualTo(site.stations().size());
    for (StationConfig station : site.stations()) {
      assertThat(station.name()).matches("[A-Za-z0-9_-]{1,32}");
      assertThat(station.kerf().isPositive()).isTrue();
      assertThat(station.kerf()).isLessThanOrEqualTo(Length.ofMm(50));
      assertThat(station.leadTrim()).isBetween(Length.ZERO, FARTHEST);
      assertThat(station.tail()).isBetween(Length.ZERO, FARTHEST);
      assertThat(station.travel().min()).isBetween(Length.ZERO, station.travel().max());
      assertThat(station.travel().max()).isLessThanOrEqualTo(FARTHEST);
      assertThat(station.window().isPositive()).isTrue();
      assertThat(station.calibration().resolution().isPositive()).isTrue();
      assertThat(station.calibration().scale().signum()).isPositive();
      assertThat(station.motion().topSpeed().isPositive()).isTrue();
      assertThat(station.motion().acceleration().isPositive()).isTrue();
      assertThat(station.targetValidity()).isPositive();
    }
  }
}
