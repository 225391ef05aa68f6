package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Locale;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class JobIdsTest {

  @ParameterizedTest
  @CsvSource({
    "Comb honey supers.csv, comb-honey-supers",
    "Gewächshaus  Süd (2).CSV, gewächshaus-süd-2",
    "a.b.c.json, a-b-c",
    "___.csv, job",
    ".csv, csv",
    "CON.csv, job-con",
    "lpt1.csv, job-lpt1",
    "console.csv, console",
    "-x-.csv, x",
    "../../etc/passwd.csv, etc-passwd",
    "ΣΙΓΜΑΣ.csv, σιγμας",
    "棚板.csv, 棚板",
  })
  void aFileNameBecomesAnIdThatIsAFileNameEverywhere(String fileName, String id) {
    assertThat(JobIds.slug(fileName)).isEqualTo(id);
  }

  @Test
  void composedAndDecomposedUmlautsGiveOneId() {
    assertThat(JobIds.slug("fu\u0308r.csv")).isEqualTo(JobIds.slug("f\u00FCr.csv"));
  }

  @Test
  void theDefaultLocaleChangesNothing() {
    Locale before = Locale.getDefault();
    try {
      Locale.setDefault(Locale.forLanguageTag("tr-TR"));
      assertThat(JobIds.slug("INFILL.csv")).isEqualTo("infill");
    } finally {
      Locale.setDefault(before);
    }
  }

  @Test
  void aLongNameIsCutBetweenCharacters() {
    assertThat(JobIds.slug("x".repeat(79) + "-y.csv")).isEqualTo("x".repeat(79));
    String id = JobIds.slug("x" + "\uD83C\uDC04\uD835\uDD38".repeat(60) + ".csv");
    assertThat(id.length()).isLessThanOrEqualTo(JobIds.MAX_CHARS);
    assertThat(Character.isHighSurrogate(id.charAt(id.length() - 1))).isFalse();
  }

  @Test
  void aNameInUseGetsTheNextRevision() {
    Set<String> inUse = Set.of("supers", "supers.2");
    assertThat(JobIds.next("supers", inUse::contains)).isEqualTo("supers.3");
    assertThat(JobIds.next("stands", inUse::contains)).isEqualTo("stands");
  }
}
