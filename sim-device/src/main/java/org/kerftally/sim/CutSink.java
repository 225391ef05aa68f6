package org.kerftally.sim;

import org.kerftally.shared.device.LastCut;

/**
 * Takes every cut at the moment it is made, before the count or the last cut shows it. What throws
 * here keeps the cut from ever being shown.
 */
@FunctionalInterface
interface CutSink {
  void record(LastCut cut);
}
