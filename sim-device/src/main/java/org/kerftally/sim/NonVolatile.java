package org.kerftally.sim;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LastCut;

/**
 * Holds what survives without power.
 *
 * @param boot the power-up it was last written in, empty before the first
 * @param count the cut count
 * @param lastCut the last cut, {@code null} before the first
 */
record NonVolatile(String boot, long count, @Nullable LastCut lastCut) {

  /** What a new machine remembers. */
  static final NonVolatile EMPTY = new NonVolatile("", 0, null);

  /** Returns what is remembered in another power-up. */
  NonVolatile in(String newBoot) {
    return new NonVolatile(newBoot, count, lastCut);
  }

  /** Returns what is remembered after a cut. */
  static NonVolatile after(LastCut cut) {
    return new NonVolatile(cut.boot(), cut.count(), cut);
  }
}
