package org.kerftally.config;

import static org.kerftally.config.SiteReader.orElse;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.geometry.Corrections.Point;
import org.kerftally.shared.length.Length;

/** Reads a station's calibration: a line, and a table of what it leaves over. */
final class CalibrationReader {

  private static final String TABLE = "[ { at: 500 mm, add: 0.05 mm } ]";

  private CalibrationReader() {}

  static Calibration read(Section station) {
    Calibration ideal = Calibration.TRUE;
    Section section = station.section("calibration", Keys.CALIBRATION, "{ offset: -0.35 mm }");
    if (section == null) {
      return ideal;
    }
    Length offset = section.read("offset", LengthKinds.OFFSET);
    BigDecimal scale = section.read("scale", AmountKinds.SCALE);
    Length resolution = section.read("resolution", LengthKinds.RESOLUTION);
    return new Calibration(
        orElse(offset, ideal.offset()),
        orElse(scale, ideal.scale()),
        orElse(resolution, ideal.resolution()),
        corrections(section));
  }

  /** Reads the table; points that are wrong are reported and left out. */
  private static Corrections corrections(Section section) {
    List<Point> points = new ArrayList<>();
    for (Section entry :
        section.list("corrections", Keys.CORRECTION, Corrections.MAX_POINTS, TABLE)) {
      Length at = entry.require("at", LengthKinds.CORRECTED_AT);
      Length add = entry.require("add", LengthKinds.CORRECTION);
      if (at == null || add == null) {
        continue;
      }
      Point point = new Point(at, add);
      Point before = points.isEmpty() ? null : points.get(points.size() - 1);
      if (follows(entry, before, point)) {
        points.add(point);
      }
    }
    return new Corrections(points);
  }

  private static boolean follows(Section entry, @Nullable Point before, Point point) {
    if (before == null) {
      return true;
    }
    if (!before.at().isLessThan(point.at())) {
      entry.wrong(
          "at",
          "found " + point.at() + ", expected more than the " + before.at() + " before it",
          "Write the entries in the order of their lengths, each length once");
      return false;
    }
    if (Corrections.isSteep(before, point)) {
      entry.wrong(
          "add",
          "found "
              + point.add()
              + " behind "
              + before.add()
              + ", expected a change of at most half the way from "
              + before.at()
              + " to "
              + point.at(),
          "Measure again, or leave one of the two out: no error of a stop grows that fast");
      return false;
    }
    return true;
  }
}
