package org.kerftally.config;

import static org.kerftally.config.SiteReader.orElse;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/** Reads how well a station's stop has to stand, and from which side it comes. */
final class QualityReader {

  private final Section station;

  QualityReader(Section station) {
    this.station = station;
  }

  /**
   * Reads both sections.
   *
   * @param window the window in force
   * @param travel where the stop can stand, {@code null} when that is missing or wrong
   */
  QualityConfig read(Length window, @Nullable Travel travel) {
    QualityConfig none = QualityConfig.NONE;
    Duration dwell = null;
    Duration settle = null;
    Section standing = station.section("in-position", Keys.IN_POSITION, "{ dwell: 200 ms }");
    if (standing != null) {
      dwell = standing.read("dwell", AmountKinds.DWELL);
      settle = standing.read("settle", AmountKinds.SETTLE);
    }
    QualityConfig.From from = null;
    Length overshoot = null;
    Section approach = station.section("approach", Keys.APPROACH, "{ from: above }");
    if (approach != null) {
      from = approach.read("from", WordKinds.FROM);
      boolean wrong = approach.has("overshoot");
      overshoot = approach.read("overshoot", LengthKinds.OVERSHOOT);
      wrong &= overshoot == null;
      if (!wrong && from != null && from != QualityConfig.From.EITHER) {
        check(approach, orElse(overshoot, none.overshoot()), window, travel);
      }
    }
    return new QualityConfig(
        orElse(dwell, none.dwell()),
        orElse(settle, none.settle()),
        orElse(from, none.from()),
        orElse(overshoot, none.overshoot()));
  }

  private void check(Section approach, Length overshoot, Length window, @Nullable Travel travel) {
    if (!overshoot.isMoreThan(window.times(2))) {
      wrong(
          approach,
          "found an overshoot of "
              + overshoot
              + ", expected more than twice the window of "
              + window,
          "A cut made before the stop has come back must read off its target",
          window.isLessThan(Length.ofMm(1)) ? QualityConfig.DEFAULT_OVERSHOOT : window.times(4));
    } else if (travel != null && !overshoot.isLessThan(travel.max().minus(travel.min()))) {
      Length way = travel.max().minus(travel.min());
      wrong(
          approach,
          "found an overshoot of " + overshoot + ", expected less than the travel of " + way,
          "No target would leave room for it",
          QualityConfig.DEFAULT_OVERSHOOT);
    }
  }

  private void wrong(Section approach, String message, String why, Length better) {
    if (approach.has("overshoot")) {
      approach.wrong("overshoot", message, why + ". Example: `overshoot: " + better + "`");
    } else {
      station.wrong(
          "approach",
          message,
          why + ". Example: `approach: { from: above, overshoot: " + better + " }`");
    }
  }
}
