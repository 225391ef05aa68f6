package org.kerftally.protocol.quality;

import org.jspecify.annotations.Nullable;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/**
 * Knows where a move has to turn so that its last stretch comes from the wanted side. All lengths
 * are device positions, whole steps of the device.
 *
 * <p>Near the end of the travel the overshoot is what the travel leaves, as long as that is more
 * than twice the window: then the stop still comes from the wanted side, and a cut made too early
 * still reads off its target.
 *
 * @param above whether the last stretch comes from larger positions
 * @param overshoot how far beyond the target a move turns
 * @param least what the overshoot has to be more than, at the end of the travel
 * @param lowest the smallest position within the travel
 * @param highest the largest position within the travel
 * @param step the device's resolution
 */
record ApproachPath(
    boolean above, Length overshoot, Length least, Length lowest, Length highest, Length step) {

  /** Returns the path a configuration asks for, {@code null} where it asks for no side. */
  static @Nullable ApproachPath of(StationConfig station) {
    QualityConfig quality = station.quality();
    if (!quality.hasSide()) {
      return null;
    }
    Calibration calibration = station.calibration();
    Travel travel = station.travel();
    Length step = calibration.resolution();
    Length lowest = calibration.toPosition(travel.min());
    Length highest = calibration.toPosition(travel.max());
    // Rounded to the nearest step, an end may lie just outside.
    return new ApproachPath(
        quality.from() == QualityConfig.From.ABOVE,
        quality.overshoot(),
        station.window().times(2),
        travel.reaches(calibration.toLength(lowest)) ? lowest : lowest.plus(step),
        travel.reaches(calibration.toLength(highest)) ? highest : highest.minus(step),
        step);
  }

  /** Returns where a move to the target turns, {@code null} where the travel leaves no room. */
  @Nullable Length turn(Length target) {
    long nm = step.nm();
    Length turn =
        above
            ? Length.ofNm(-Math.floorDiv(-target.plus(overshoot).nm(), nm) * nm).min(highest)
            : Length.ofNm(Math.floorDiv(target.minus(overshoot).nm(), nm) * nm).max(lowest);
    return beyond(turn, target).isMoreThan(least) ? turn : null;
  }

  /** Tells whether a stop that stands there comes from the wanted side without a turn. */
  boolean isBeyond(Length position, Length turn) {
    return !beyond(position, turn).isNegative();
  }

  /** Says why a target is refused. */
  String noRoom(Length target) {
    return "to come from "
        + (above ? "above" : "below")
        + " to "
        + target
        + " the stop has to go "
        + overshoot
        + " beyond it first, and its travel ends at "
        + (above ? highest : lowest);
  }

  private Length beyond(Length position, Length target) {
    return above ? position.minus(target) : target.minus(position);
  }
}
