package org.kerftally.daemon.service;

import java.time.Instant;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.length.Length;

/**
 * Shows a station as it is now, for the board and the metrics.
 *
 * @param name the station's name
 * @param mode its state
 * @param since since when it is in that state, UTC
 * @param linkUp whether the link is live
 * @param armed whether the operator has acknowledged since the last interruption
 * @param job the id of the job being cut, or {@code null}
 * @param waiting how many jobs wait behind it
 * @param stick the number of the stick in the saw within its job, 0 for none
 * @param target the target that is neither cut nor void, or {@code null}
 * @param move the move to where nothing is cut that is under way, or {@code null}
 * @param prompt what is waited for
 * @param faults the standing faults, text by code
 * @param device the device as last read, or {@code null} while the link is down
 * @param standsAt the length at the blade that the stop stands at, to the device's resolution, or
 *     {@code null} where it is not known
 * @param trouble what keeps the service itself from working, or {@code null}
 */
public record StationView(
    String name,
    StationMode mode,
    Instant since,
    boolean linkUp,
    boolean armed,
    @Nullable String job,
    int waiting,
    int stick,
    @Nullable TargetSet target,
    @Nullable MoveSet move,
    Prompt prompt,
    Map<String, String> faults,
    @Nullable DeviceSnapshot device,
    @Nullable Length standsAt,
    @Nullable String trouble) {}
