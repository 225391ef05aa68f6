package org.kerftally.daemon.cli;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;

/**
 * Is a clock that can be set back for a moment, so that a link sends a target that is void by the
 * real time: how else would a device be seen to refuse one?
 */
final class ShiftedClock extends Clock {

  private final Clock clock;
  private volatile Duration back = Duration.ZERO;

  ShiftedClock(Clock clock) {
    this.clock = clock;
  }

  void setBack(Duration by) {
    back = by;
  }

  @Override
  public Instant instant() {
    return clock.instant().minus(back);
  }

  @Override
  public ZoneId getZone() {
    return clock.getZone();
  }

  @Override
  public Clock withZone(ZoneId zone) {
    return new ShiftedClock(clock.withZone(zone));
  }
}
