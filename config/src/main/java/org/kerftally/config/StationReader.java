package org.kerftally.config;

import static org.kerftally.config.SiteReader.orElse;

import java.nio.file.Path;
import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/** Reads one station and checks its measures against each other. */
final class StationReader {

  private final Section station;
  private final Path base;

  StationReader(Section station, Path base) {
    this.station = station;
    this.base = base;
  }

  /**
   * Returns the station, or {@code null} where something it needs is missing, with problems added.
   *
   * @param name the station's name, {@code null} when it is missing
   */
  @Nullable StationConfig read(@Nullable String name) {
    Layout layout = station.require("layout", WordKinds.LAYOUT);
    Length kerf = station.require("kerf", LengthKinds.KERF);
    Length leadTrim = station.read("lead-trim", LengthKinds.LEAD_TRIM);
    Length tail = station.read("tail", LengthKinds.TAIL);
    Boolean slivers = station.read("sliver-cuts", WordKinds.YES_OR_NO);
    Travel travel = readTravel();
    Calibration calibration = CalibrationReader.read(station);
    Length window = station.read("window", LengthKinds.WINDOW);
    QualityConfig quality =
        new QualityReader(station).read(orElse(window, StationConfig.DEFAULT_WINDOW), travel);
    MovesConfig moves =
        new MovesReader(station).read(layout, orElse(window, StationConfig.DEFAULT_WINDOW), travel);
    Duration validity = station.read("target-validity", AmountKinds.TARGET_VALIDITY);
    StopMotion motion = readMotion();
    OpenParts openParts = station.read("open-parts", AmountKinds.OPEN_PARTS);
    OperatorReader panel = new OperatorReader(station);
    OperatorConfig operator = panel.read();
    LinkConfig link = new LinkReader(base).read(station, orElse(name, "NAME"));
    if (link != null) {
      panel.check(operator, link);
    }
    checkTrim(kerf, leadTrim);
    checkTail(tail, travel);
    if (name == null || layout == null || kerf == null || travel == null || link == null) {
      return null;
    }
    return new StationConfig(
        name,
        layout,
        kerf,
        orElse(leadTrim, StationConfig.DEFAULT_LEAD_TRIM),
        orElse(tail, StationConfig.DEFAULT_TAIL),
        orElse(slivers, StationConfig.DEFAULT_SLIVER_CUTS),
        travel,
        calibration,
        orElse(window, StationConfig.DEFAULT_WINDOW),
        quality,
        moves,
        orElse(validity, StationConfig.DEFAULT_TARGET_VALIDITY),
        motion,
        orElse(openParts, OpenParts.FEWEST).most(),
        operator,
        link);
  }

  private @Nullable Travel readTravel() {
    Section section = station.requireSection("travel", Keys.TRAVEL, "{ min: 20 mm, max: 4000 mm }");
    if (section == null) {
      return null;
    }
    Length min = section.require("min", LengthKinds.TRAVEL_MIN);
    Length max = section.require("max", LengthKinds.TRAVEL_MAX);
    if (min == null || max == null) {
      return null;
    }
    if (!min.isLessThan(max)) {
      section.wrong(
          "min",
          "found " + min + ", expected less than the max of " + max,
          "Measure both ends of the travel. Example: `travel: { min: 20 mm, max: 4000 mm }`");
      return null;
    }
    return new Travel(min, max);
  }

  private StopMotion readMotion() {
    StopMotion light = StopMotion.LIGHT;
    Section section = station.section("motion", Keys.MOTION, "{ top-speed: 1000 mm/s }");
    if (section == null) {
      return light;
    }
    Length speed = section.read("top-speed", LengthKinds.TOP_SPEED);
    Length acceleration = section.read("acceleration", LengthKinds.ACCELERATION);
    Duration settling = section.read("settling", AmountKinds.SETTLING);
    return new StopMotion(
        orElse(speed, light.topSpeed()),
        orElse(acceleration, light.acceleration()),
        settling == null ? light.settlingMillis() : settling.toMillis());
  }

  private void checkTrim(@Nullable Length kerf, @Nullable Length trim) {
    if (kerf != null && trim != null && trim.isPositive() && trim.isLessThan(kerf)) {
      station.wrong(
          "lead-trim",
          "found " + trim + ", expected 0 or at least the kerf of " + kerf,
          "The lead trim holds the squaring cut's kerf. Example: `lead-trim: 10 mm`");
    }
  }

  private void checkTail(@Nullable Length tail, @Nullable Travel travel) {
    if (tail != null && travel != null && tail.isMoreThan(travel.max())) {
      station.wrong(
          "tail",
          "found " + tail + ", expected at most the travel's max of " + travel.max(),
          "The tail is what the clamp or pusher still holds at the end. Example: `tail: 60 mm`");
    }
  }
}
