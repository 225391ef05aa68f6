package org.kerftally.protocol.wiring;

import org.jspecify.annotations.Nullable;

/**
 * Holds one value as a device gave it, whatever protocol brought it.
 *
 * @param value a {@link Boolean}, a {@link Number}, a {@link String}, a {@link java.time.Instant},
 *     a {@link org.kerftally.shared.length.Length} once it is converted, {@code null} for none
 * @param bad why there is no value to be used, {@code null} when there is one
 */
public record RawValue(@Nullable Object value, @Nullable String bad) {

  /** Returns a value. */
  public static RawValue of(@Nullable Object value) {
    return new RawValue(value, null);
  }

  /** Returns that there is no value to be used. */
  public static RawValue bad(String why) {
    return new RawValue(null, why);
  }
}
