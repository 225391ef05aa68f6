/** Serves the simulated device over MQTT 5. */
@NullMarked
package org.kerftally.sim.mqtt;

import org.jspecify.annotations.NullMarked;
