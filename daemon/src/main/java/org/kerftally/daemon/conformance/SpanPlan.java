package org.kerftally.daemon.conformance;

import org.jspecify.annotations.Nullable;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.length.Length;

/**
 * Chooses the two places that the stop goes between, around where it stands.
 *
 * @param low the smaller length at the blade
 * @param high the larger one
 * @param outside a length far outside the travel, that a device has to refuse
 */
public record SpanPlan(Length low, Length high, Length outside) {

  /** Room for a hand beside the stop. */
  public static final Length USUAL = Length.ofMm(50);

  /** What the stop may move around its place in all steps together. */
  public static final Length MOST = Length.ofMm(200);

  /** What it has to be able to move for a move to be told from none. */
  private static final int LEAST_WINDOWS = 20;

  /** Farther than any rail is long. */
  private static final Length FAR = Length.ofMm(50_000);

  /** Says what comes of a wish: one of the two is there. */
  public record Outcome(@Nullable SpanPlan plan, @Nullable String refusal) {}

  /** Plans: two places within half the span of where the stop stands, and within the travel. */
  public static Outcome of(StationConfig station, DeviceSnapshot device, Length span) {
    if (!span.isPositive() || span.isMoreThan(MOST)) {
      return new Outcome(
          null, "--span is " + Figures.mm(span) + "; expected more than 0, at most " + MOST);
    }
    Length here = station.calibration().toLength(device.position());
    Length half = Length.ofNm(span.nm() / 2);
    Length low = here.minus(half).max(station.travel().min());
    Length high = here.plus(half).min(station.travel().max());
    Length least = station.window().times(LEAST_WINDOWS);
    if (high.minus(low).isLessThan(least)) {
      return new Outcome(
          null,
          "the stop stands at "
              + Figures.mm(here)
              + " at the blade; within "
              + Figures.mm(half)
              + " of it the travel leaves less than the "
              + Figures.mm(least)
              + " that the steps need. Move the stop from the machine's own panel to the middle of"
              + " its rail, or widen --span");
    }
    return new Outcome(new SpanPlan(low, high, station.travel().max().plus(FAR)), null);
  }

  /** Returns what has to be typed before the stop is moved. */
  public String words(String station) {
    return station + " " + Figures.bare(low) + " " + Figures.bare(high);
  }
}
