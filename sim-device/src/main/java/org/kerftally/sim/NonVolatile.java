package org.kerftally.sim;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LastCut;

/**
 * Holds what survives without power.
 *
 * @param count the cut count
 * @param lastCut the last cut, {@code null} before the first
 */
record NonVolatile(long count, @Nullable LastCut lastCut) {

  /** What a new machine remembers. */
  static final NonVolatile EMPTY = new NonVolatile(0, null);
}
