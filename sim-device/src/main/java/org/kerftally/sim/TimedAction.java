package org.kerftally.sim;

/**
 * Holds one line of a script.
 *
 * @param atNanos simulated time since the device started, not negative
 * @param action what is done then
 */
record TimedAction(long atNanos, Action action) {}
