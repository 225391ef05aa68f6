/**
 * The station: what happened is a list of events, a station's state is their fold, every decision
 * is a pure function from state and input to new events and effects.
 *
 * <p>Nothing here reads a clock, sleeps, logs, starts a thread or touches a file. The owner thread
 * in {@code org.kerftally.daemon.service} feeds one input at a time, writes the events to the cut
 * log, and only then carries out the effects. A restart is a replay of the events through {@link
 * org.kerftally.daemon.station.StationFold}.
 */
@NullMarked
package org.kerftally.daemon.station;

import org.jspecify.annotations.NullMarked;
