package org.kerftally.config;

import static org.kerftally.config.SiteReader.orElse;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/** Reads which moves a station's stop makes besides those to its targets. */
final class MovesReader {

  private final Section station;

  MovesReader(Section station) {
    this.station = station;
  }

  /**
   * Reads both sections.
   *
   * @param layout where the stop stands, {@code null} when that is missing or wrong
   * @param window the window in force
   * @param travel where the stop can stand, {@code null} when that is missing or wrong
   */
  MovesConfig read(@Nullable Layout layout, Length window, @Nullable Travel travel) {
    MovesConfig none = MovesConfig.NONE;
    Length by = null;
    Duration hold = null;
    Section retract = station.section("retract", Keys.RETRACT, "{ by: 5 mm }");
    if (retract != null) {
      by = retract.read("by", LengthKinds.RETRACT);
      hold = retract.read("hold", AmountKinds.HOLD);
      if (by != null && by.isPositive()) {
        checkRetract(retract, by, layout, window, travel);
      }
    }
    ParkPlace place = null;
    Duration after = null;
    Section park = station.section("park", Keys.PARK, "{ at: 1200 mm }");
    if (park != null) {
      place = park.read("at", LengthKinds.PARK_AT);
      after = park.read("after", AmountKinds.PARK_AFTER);
      Length at = place == null ? null : place.at();
      if (at != null && travel != null && !travel.reaches(at)) {
        park.wrong(
            "at",
            "found " + at + ", expected from " + travel.min() + " to " + travel.max(),
            "The stop parks within its travel. Example: `at: " + travel.max() + "`");
      }
    }
    return new MovesConfig(
        orElse(by, none.retractBy()),
        orElse(hold, none.hold()),
        place == null ? null : place.at(),
        orElse(after, none.parkAfter()));
  }

  private static void checkRetract(
      Section retract, Length by, @Nullable Layout layout, Length window, @Nullable Travel travel) {
    if (layout == Layout.INFEED_PUSHER) {
      retract.wrong(
          "by",
          "found " + by + " at an infeed-pusher, expected 0 mm",
          "The pusher stands behind the stick, so nothing holds the piece that was cut off: leave"
              + " `retract` out");
    } else if (!by.isMoreThan(window)) {
      retract.wrong(
          "by",
          "found " + by + ", expected more than the window of " + window,
          "Within the window the stop counts as in position and need not move. Example: `by: "
              + window.times(10)
              + "`");
    } else if (travel != null && !by.isLessThan(travel.max().minus(travel.min()))) {
      retract.wrong(
          "by",
          "found " + by + ", expected less than the travel of " + travel.max().minus(travel.min()),
          "No target would leave room for it. Example: `by: 5 mm`");
    }
  }
}
