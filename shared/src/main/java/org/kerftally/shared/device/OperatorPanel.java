package org.kerftally.shared.device;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Holds what the operator has pressed, as totals that only grow within one boot, so that a press is
 * never lost between two readings and never taken twice.
 *
 * @param stickLoaded how often "stick loaded" was pressed
 * @param stickLength the measured length of the last stick loaded, or {@code null} where the device
 *     does not measure
 * @param rejected how often "last piece rejected" was pressed
 * @param defects how often "defect" was pressed
 * @param defectAt how much of the loaded stick is still sound, measured from its leading end as it
 *     lies now, at the last press of "defect"; or {@code null}
 * @param acknowledged how often "acknowledge" was pressed
 * @param paused whether the pause switch is on
 */
public record OperatorPanel(
    long stickLoaded,
    @Nullable Length stickLength,
    long rejected,
    long defects,
    @Nullable Length defectAt,
    long acknowledged,
    boolean paused) {

  /** A panel on which nothing was pressed, and what a device without a panel reports. */
  public static final OperatorPanel UNTOUCHED = new OperatorPanel(0, null, 0, 0, null, 0, false);
}
