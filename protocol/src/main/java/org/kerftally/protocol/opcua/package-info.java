/** Speaks to a positioner over OPC UA. */
@NullMarked
package org.kerftally.protocol.opcua;

import org.jspecify.annotations.NullMarked;
