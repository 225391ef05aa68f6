package org.kerftally.daemon.cutlog;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * Describes one time that a fault stood.
 *
 * @param station the station
 * @param code the fault's code
 * @param text the fault in plain words
 * @param since when it came up
 * @param until when the device said it was gone, or {@code null} while it stands
 */
public record LoggedFault(
    String station, String code, String text, Instant since, @Nullable Instant until) {}
