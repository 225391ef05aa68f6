package org.kerftally.daemon.conformance;

import org.jspecify.annotations.Nullable;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/**
 * Works out the one target of a trial move, or why there is none.
 *
 * @param seq the target's number, above every one the device or the cut log knows
 * @param from where the stop stands, as a length at the blade
 * @param to where it is to go, as a length at the blade
 * @param position the same as the device's position
 * @param beyond how far beyond the target the stop may go first, zero where the station asks for no
 *     side
 */
public record TrialPlan(long seq, Length from, Length to, Length position, Length beyond) {

  /** What a stop may move in a trial, with what an approach adds: less than a hand is wide. */
  public static final Length MOST = Length.ofMm(10);

  /** What it moves unless somebody says otherwise: seen by eye, and by a rule. */
  public static final Length USUAL = Length.ofMm(2);

  /** A step below this many windows shows nothing. */
  private static final int LEAST_WINDOWS = 4;

  /** Says what comes of a wish: one of the two is there. */
  public record Outcome(@Nullable TrialPlan plan, @Nullable String refusal) {}

  /**
   * Plans.
   *
   * @param by how far, as a length at the blade; negative towards smaller lengths
   * @param highestLogged the highest number in the cut log, 0 for none
   */
  public static Outcome of(
      StationConfig station, DeviceSnapshot device, Length by, long highestLogged) {
    Length least = station.window().times(LEAST_WINDOWS);
    if (by.abs().isLessThan(least)) {
      return refused(
          "a step of "
              + Figures.mm(by)
              + " is too small to tell from the window of "
              + Figures.mm(station.window())
              + "; expected "
              + Figures.mm(least)
              + " at least, in one direction or the other");
    }
    QualityConfig quality = station.quality();
    Length beyond = quality.hasSide() ? quality.overshoot() : Length.ZERO;
    if (by.abs().plus(beyond).isMoreThan(MOST)) {
      String approach =
          beyond.isPositive()
              ? " and the approach from "
                  + quality.from().word()
                  + " goes up to "
                  + Figures.mm(beyond)
                  + " beyond the target first"
              : "";
      return refused(
          "a step of "
              + Figures.mm(by)
              + approach
              + "; a trial moves the stop by "
              + Figures.mm(MOST)
              + " at most, all told");
    }
    Length from = station.calibration().toLength(device.position());
    Length to = from.plus(by);
    Travel travel = station.travel();
    if (!travel.reaches(to)) {
      return refused(
          "the stop stands at "
              + Figures.mm(from)
              + " at the blade and would go to "
              + Figures.mm(to)
              + ", outside the travel of "
              + Figures.mm(travel.min())
              + " to "
              + Figures.mm(travel.max())
              + ". Try the other direction with --by, or move the stop from the machine's own panel"
              + " to the middle of its rail");
    }
    Length position = station.calibration().toPosition(to);
    return new Outcome(
        new TrialPlan(above(device, highestLogged), from, to, position, beyond), null);
  }

  private static Outcome refused(String why) {
    return new Outcome(null, why);
  }

  /** Returns a number above every one that is known. */
  public static long above(DeviceSnapshot device, long highestLogged) {
    LastCut cut = device.lastCut();
    long seen = Math.max(device.activeSequence(), cut == null ? 0 : cut.seq());
    return Math.max(seen, highestLogged) + 1;
  }

  /** Returns how far the stop may get from where it stands before something is wrong. */
  Length most() {
    return to.minus(from).abs().plus(beyond);
  }

  /** Returns what has to be typed before the stop is moved. */
  public String words(String station) {
    return station + " " + Figures.bare(to);
  }
}
