package org.kerftally.daemon.service;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;

/** Is the time of a simulated shift: one that only goes on, and one of day that people set. */
final class ShiftClock extends Clock {

  private static final Instant NOON = Instant.parse("2027-03-01T12:00:00Z");

  private long nanos;
  private Duration off = Duration.ZERO;

  /** Returns the time that only goes on. */
  long nanos() {
    return nanos;
  }

  void goOn(long millis) {
    nanos += 1_000_000L * millis;
  }

  /** Somebody sets the time of day. */
  void set(int hoursOff) {
    off = off.plusHours(hoursOff);
  }

  @Override
  public ZoneId getZone() {
    return ZoneOffset.UTC;
  }

  @Override
  public Clock withZone(ZoneId zone) {
    return this;
  }

  @Override
  public Instant instant() {
    return NOON.plusNanos(nanos).plus(off);
  }
}
