package org.kerftally.sim;

import java.time.Instant;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.length.Length;

/**
 * Takes what must be kept before the machine shows it. What throws here keeps the change from ever
 * being shown.
 */
interface Recorder {

  /** Takes what the machine remembers, its new boot id included, at each power-up. */
  void powerUp(NonVolatile memory, Instant at);

  /** Takes a cut at the moment it is made, before the count or the last cut shows it. */
  void cut(LastCut cut);

  /** Takes a press, with the panel's total of such presses, this one included. */
  void pressed(String boot, Button button, long total, Instant at);

  /** Takes that the stop is about to set out for a target. */
  void begun(String boot, long seq, Length to, Instant at);
}
