package org.kerftally.shared.event;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * Holds an event as it stands in the cut log.
 *
 * @param id its place in the log, from 1, growing
 * @param at when it was written, UTC
 * @param station the station it belongs to, or {@code null} for the shop
 * @param event what happened
 */
public record Recorded(long id, Instant at, @Nullable String station, Event event) {}
