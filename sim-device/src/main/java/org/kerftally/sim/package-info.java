/** A simulated positioner and saw, with motion, cuts and faults like those of a real one. */
@NullMarked
package org.kerftally.sim;

import org.jspecify.annotations.NullMarked;
