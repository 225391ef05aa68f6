package org.kerftally.daemon.cutlog;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * Describes one time that a fault stood.
 *
 * @param station the station
 * @param code the fault's code
 * @param text the fault in plain words
 * @param since when it came up
 * @param until when the device said it was gone, or {@code null} while it stands
 */
public record LoggedFault(
    String station, String code, String text, Instant since, @Nullable Instant until) {

  /** The code of a lost link. */
  public static final String LINK_DOWN = "link-down";

  /** The code of a saw cycle out of position or without a target. */
  public static final String SUSPECT_CUT = "suspect-cut";

  /** The code of a saw cycle of which nothing is known but that it was counted. */
  public static final String UNATTRIBUTED_CUT = "unattributed-cut";

  /** Returns the text of a lost link. */
  public static String linkDownText(String reason) {
    return "The link was lost: " + reason;
  }
}
