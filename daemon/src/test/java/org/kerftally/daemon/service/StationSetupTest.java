package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SiteConfig;
import org.kerftally.daemon.planning.sequence.StopRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.length.Length;

class StationSetupTest {

  private static StopRules stop(String layout, String... lines) {
    ConfigResult read =
        ConfigReader.read(
            String.join(
                "\n",
                "folder: site",
                "stations:",
                "  - name: saw1",
                "    layout: " + layout,
                "    kerf: 3 mm",
                "    travel: { min: 20 mm, max: 4000 mm }",
                String.join("\n", lines),
                "    link:",
                "      mqtt: { broker: \"tcp://127.0.0.1:1\" }",
                ""),
            "kerftally.yaml");
    assertThat(read).isInstanceOf(ConfigResult.Good.class);
    SiteConfig site = ((ConfigResult.Good) read).config();
    StationSetup setup = new StationSetup(site, site.stations().get(0));
    return setup.request(List.of(), List.of()).request().stop();
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
