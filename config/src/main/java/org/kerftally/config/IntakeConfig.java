package org.kerftally.config;

import java.time.Duration;

/**
 * States how job files are taken from the inbox.
 *
 * @param poll how often the inbox is scanned
 * @param minAge how long a file must have been seen unchanged before it is taken
 * @param maxBytes the largest job file that is taken, in bytes
 */
public record IntakeConfig(Duration poll, Duration minAge, long maxBytes) {

  /** Every 500 ms, one second of age, 16 MiB. */
  public static final IntakeConfig DEFAULT =
      new IntakeConfig(Duration.ofMillis(500), Duration.ofSeconds(1), 16L << 20);
}
