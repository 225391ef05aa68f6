package org.kerftally.config;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/**
 * Describes one saw with its stop positioner.
 *
 * @param name 1 to 32 of {@code A-Z a-z 0-9 _ -}: it goes into topics and file names
 * @param layout which side of the blade the positioner stands on
 * @param kerf the width the blade removes, more than zero
 * @param leadTrim all the squaring cut takes, its kerf included; zero for no squaring cut
 * @param tail what the clamp or pusher must still hold after the last cut; zero for none
 * @param sliverCuts whether a last cut that removes less than a kerf is allowed
 * @param travel where the stop can stand, as lengths at the blade
 * @param calibration between a wanted length and a device position
 * @param window how far from the target the stop still counts as in position, more than zero
 * @param quality how well the stop has to stand, and from which side it comes
 * @param moves which moves the stop makes besides those to its targets
 * @param targetValidity how long a target may wait for its answer before it is void
 * @param motion how fast the stop moves, for the order of the cuts and the travel time
 * @param openParts how many parts may be open at once, begun and not yet finished, at least 1;
 *     {@code null} for as few as can be
 * @param operator what the operator tells through the device, and what stands in for it
 * @param link how the device is reached
 */
public record StationConfig(
    String name,
    Layout layout,
    Length kerf,
    Length leadTrim,
    Length tail,
    boolean sliverCuts,
    Travel travel,
    Calibration calibration,
    Length window,
    QualityConfig quality,
    MovesConfig moves,
    Duration targetValidity,
    StopMotion motion,
    @Nullable Integer openParts,
    OperatorConfig operator,
    LinkConfig link) {

  /** No squaring cut. */
  public static final Length DEFAULT_LEAD_TRIM = Length.ZERO;

  /** Nothing to hold after the last cut. */
  public static final Length DEFAULT_TAIL = Length.ZERO;

  /** Sliver cuts are allowed unless the station forbids them. */
  public static final boolean DEFAULT_SLIVER_CUTS = true;

  /** A tenth of a millimetre. */
  public static final Length DEFAULT_WINDOW = Length.ofNm(100_000);

  /** Three seconds. */
  public static final Duration DEFAULT_TARGET_VALIDITY = Duration.ofSeconds(3);
}
