/**
 * Solves linear programs that change a little from one solve to the next: the arithmetic under
 * column generation, with nothing of cutting in it.
 *
 * <p>Pure and deterministic; in doubles, so for search only. No class here is thread-safe.
 */
@NullMarked
package org.kerftally.daemon.planning.packing.lp;

import org.jspecify.annotations.NullMarked;
