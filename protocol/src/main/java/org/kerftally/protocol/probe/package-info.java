/**
 * Looks at a device signal by signal, without the link that steers it: for whoever wires a station
 * and wants every fault at once. Reads only; nothing here writes, calls or publishes.
 */
@NullMarked
package org.kerftally.protocol.probe;

import org.jspecify.annotations.NullMarked;
