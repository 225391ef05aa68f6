package org.kerftally.shared.geometry;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.shared.length.Length;

final class TravelTest {

  @ParameterizedTest
  @CsvSource({
    "19999999, false",
    "20000000, true",
    "505000000, true",
    "4000000000, true",
    "4000000001, false",
    "-20000000, false",
  })
  void reachesFromEndToEndAndNotANanometreBeyond(long nm, boolean reached) {
    Travel travel = new Travel(Length.ofMm(20), Length.ofMm(4000));
    assertThat(travel.reaches(Length.ofNm(nm))).isEqualTo(reached);
  }

  @Test
  void layoutsAreNamedInFilesAsTheContractSays() {
    assertThat(Layout.values())
        .extracting(Layout::word)
        .containsExactly("outfeed-stop", "infeed-pusher");
  }
}
