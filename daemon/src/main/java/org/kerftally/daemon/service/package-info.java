/**
 * The imperative shell: one owner thread a station, the stock's desk, the planning desk.
 *
 * <p>Everything here is plumbing around the pure packages. An owner takes one input at a time, lets
 * the core decide, writes the events to the cut log and only then carries out the effects.
 */
@NullMarked
package org.kerftally.daemon.service;

import org.jspecify.annotations.NullMarked;
