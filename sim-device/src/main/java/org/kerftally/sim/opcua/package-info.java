/** Serves the simulated device over OPC UA. */
@NullMarked
package org.kerftally.sim.opcua;

import org.jspecify.annotations.NullMarked;
