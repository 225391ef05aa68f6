/**
 * Planning: which parts are cut from which stick, how much that costs, and how little it could.
 *
 * <p>Pure: no input or output, no clock, no threads, no logging; randomness only from fixed seeds.
 */
@NullMarked
package org.kerftally.daemon.planning;

import org.jspecify.annotations.NullMarked;
