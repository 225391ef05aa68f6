package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SuggestionTest {

  @ParameterizedTest
  @CsvSource({
    "krf, kerf",
    "kerff, kerf",
    "kref, kerf",
    "KERF, kerf",
    "Lead_Trim, lead-trim",
    "leadtrim, lead-trim",
    "lead-trm, lead-trim",
    "taget-validty, target-validity",
    "slivercut, sliver-cuts",
    "nmae, name",
    "linc, link",
    "windows, window"
  })
  void aMisspeltKeyFindsTheRightOne(String written, String meant) {
    assertThat(Suggestion.nearest(written, Keys.STATION)).isEqualTo(meant);
  }

  @ParameterizedTest
  @CsvSource({"colour", "speed", "x", "''", "operators-manual", "travelling-salesman"})
  void aWordThatIsNotNearFindsNone(String written) {
    assertThat(Suggestion.nearest(written, Keys.STATION)).isNull();
  }

  @Test
  void aLongWordIsNotCompared() {
    assertThat(Suggestion.nearest("k".repeat(1_000_000), Keys.STATION)).isNull();
  }
}
