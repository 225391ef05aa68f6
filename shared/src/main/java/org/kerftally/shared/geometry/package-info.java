/** The saw's geometry: layouts, kerf and trims, calibration, positions of the stop. */
@NullMarked
package org.kerftally.shared.geometry;

import org.jspecify.annotations.NullMarked;
