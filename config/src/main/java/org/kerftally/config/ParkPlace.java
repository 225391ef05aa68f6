package org.kerftally.config;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Says where the stop waits while there is no work, as the file says it: a length, or {@code
 * nowhere}.
 *
 * @param at the length at the blade, or {@code null} for where it stands
 */
record ParkPlace(@Nullable Length at) {

  static final String WORD = "nowhere";

  /** Returns it as it is written in the file. */
  static String text(@Nullable Length at) {
    return at == null ? WORD : at.toString();
  }
}
