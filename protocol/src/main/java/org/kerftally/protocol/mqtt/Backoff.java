package org.kerftally.protocol.mqtt;

import java.util.random.RandomGenerator;

/**
 * Spaces the tries to connect: from 0.2 s doubling to 5 s, each shortened by up to a half at
 * random, so that many stations do not knock at a broker that comes back in the same instant. Not
 * thread-safe.
 */
final class Backoff {

  static final long LEAST_MILLIS = 200;
  static final long MOST_MILLIS = 5_000;

  private final RandomGenerator random;
  private long nextMillis = LEAST_MILLIS;

  Backoff(RandomGenerator random) {
    this.random = random;
  }

  /** Returns how long to wait before the next try, in milliseconds, and grows the one after. */
  long nextMillis() {
    long whole = nextMillis;
    nextMillis = Math.min(MOST_MILLIS, 2 * nextMillis);
    return whole - random.nextLong(whole / 2 + 1);
  }

  /** Starts again from the shortest wait. */
  void reset() {
    nextMillis = LEAST_MILLIS;
  }
}
