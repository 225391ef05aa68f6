/** The link to a positioner over MQTT 5. */
@NullMarked
package org.kerftally.protocol.mqtt;

import org.jspecify.annotations.NullMarked;
