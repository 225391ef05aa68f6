/** A controller that takes targets by writes to its variables, in front of the simulated device. */
@NullMarked
package org.kerftally.protocol.plc;

import org.jspecify.annotations.NullMarked;
