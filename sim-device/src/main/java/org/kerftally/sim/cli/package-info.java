/** The simulated device as a program of its own. */
@NullMarked
package org.kerftally.sim.cli;

import org.jspecify.annotations.NullMarked;
