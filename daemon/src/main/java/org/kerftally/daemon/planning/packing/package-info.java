/**
 * Packs whole numbers into whole numbers: the cutting-stock problem with nothing of the shop in it.
 *
 * <p>Pure: no input or output, no clock, no threads; randomness only from fixed seeds.
 */
@NullMarked
package org.kerftally.daemon.planning.packing;

import org.jspecify.annotations.NullMarked;
