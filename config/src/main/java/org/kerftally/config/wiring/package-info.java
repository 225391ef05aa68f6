/**
 * Says where each signal of a device is, how it is turned into what the device contract says, what
 * stands in for a signal the device lacks, and how the device is told to move.
 */
@NullMarked
package org.kerftally.config.wiring;

import org.jspecify.annotations.NullMarked;
