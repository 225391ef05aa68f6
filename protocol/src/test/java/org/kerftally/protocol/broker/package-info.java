/** An independent MQTT broker for tests, and a network that fails when told. */
@NullMarked
package org.kerftally.protocol.broker;

import org.jspecify.annotations.NullMarked;
