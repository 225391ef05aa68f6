package org.kerftally.daemon.cutlog;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.length.Length;

/**
 * Describes a row of the cut log.
 *
 * @param at the device's time of the cut, else when it was booked
 * @param station the station
 * @param boot the boot it happened in, or {@code null} for a piece that remained without a cut
 * @param count the device's count, or {@code null} likewise
 * @param seq the target it belongs to, 0 for none, or {@code null} likewise
 * @param job the job's id, or {@code null}
 * @param part the part's name, or {@code null}
 * @param stick the stick's number within the job, or {@code null}
 * @param wanted the length wanted, or {@code null}
 * @param actual the length made, or {@code null}
 * @param kind what it counts as now
 * @param bookedAt when it was booked
 */
public record LoggedCut(
    Instant at,
    String station,
    @Nullable String boot,
    @Nullable Long count,
    @Nullable Long seq,
    @Nullable String job,
    @Nullable String part,
    @Nullable Integer stick,
    @Nullable Length wanted,
    @Nullable Length actual,
    CutKind kind,
    Instant bookedAt) {}
