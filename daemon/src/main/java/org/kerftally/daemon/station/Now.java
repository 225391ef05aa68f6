package org.kerftally.daemon.station;

import java.time.Instant;

/**
 * Gives the time of a decision.
 *
 * @param wall the time of day, for what people and devices read; may jump
 * @param nanos a monotonic clock, for spans; its zero means nothing
 */
public record Now(Instant wall, long nanos) {}
