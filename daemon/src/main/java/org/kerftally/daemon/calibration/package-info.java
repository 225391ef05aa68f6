/**
 * Calibration: from pieces that were cut and measured to offset and scale, how sure they are, and
 * which pieces do not belong to the line.
 *
 * <p>Nothing here reads a file, logs or looks at a clock. Sums are exact integers of nanometres and
 * their squares, so that no digit is lost however near the targets lie to each other; a result
 * becomes a {@code double} once, at its end.
 */
@NullMarked
package org.kerftally.daemon.calibration;

import org.jspecify.annotations.NullMarked;
