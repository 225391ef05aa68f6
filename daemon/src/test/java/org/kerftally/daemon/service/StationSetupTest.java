package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.planning.sequence.StopRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.length.Length;

class StationSetupTest {

  private static StopRules stop(String layout, String... lines) {
    return Samples.station("saw1", layout, lines).request(List.of(), List.of()).request().stop();
  }

  @Test
  void thePlannerHearsOfTheStopAndTheRoomForParts() {
    for (Layout layout : Layout.values()) {
      assertThat(
              stop(
                  layout.word(),
                  "    motion: { top-speed: 0.5 m/s, acceleration: 40 in/s2, settling: 0 ms }",
                  "    open-parts: 6"))
          .isEqualTo(
              new StopRules(
                  layout,
                  Length.ofMm(20),
                  new StopMotion(Length.ofMm(500), Length.ofMm(1016), 0),
                  6));
    }
  }

  @Test
  void whereNothingIsSaidTheStopIsALightOneAndAsFewPartsAsCanBeAreOpen() {
    assertThat(stop("outfeed-stop"))
        .isEqualTo(new StopRules(Layout.OUTFEED_STOP, Length.ofMm(20), StopMotion.LIGHT, null));
  }
}
