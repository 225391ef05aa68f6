package org.kerftally.protocol.probe;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * Says what one signal of a device is now.
 *
 * @param name its name in the device contract, {@code move.} before a point of a handshake
 * @param place where it is, as a person would look for it
 * @param value the value as the device says it, {@code null} for none
 * @param understood the value as Kerftally understands it, {@code null} where it does not
 * @param at when the value was made, {@code null} where nobody says so
 * @param ofDevice whether the device said when; else it is when the value was heard
 * @param quality {@code good}, or what it is instead
 * @param changedAt when a change was last seen, {@code null} for none
 * @param fault what is wrong with it and how to mend it, {@code null} for nothing
 */
public record SignalReading(
    String name,
    String place,
    @Nullable String value,
    @Nullable String understood,
    @Nullable Instant at,
    boolean ofDevice,
    String quality,
    @Nullable Instant changedAt,
    @Nullable String fault) {

  /** The quality of a value that can be used. */
  public static final String GOOD = "good";
}
