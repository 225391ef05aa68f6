package org.kerftally.protocol.mqtt;

import java.util.concurrent.TimeUnit;
import java.util.function.LongSupplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Counts unreadable messages and logs them without flooding: the first, then one a minute. */
final class MalformedTally {

  private static final Logger LOG = LoggerFactory.getLogger(MalformedTally.class);
  private static final long QUIET_NANOS = TimeUnit.MINUTES.toNanos(1);

  private final String station;
  private final LongSupplier nanoTime;
  private long count;
  private long lastLoggedNanos;

  MalformedTally(String station, LongSupplier nanoTime) {
    this.station = station;
    this.nanoTime = nanoTime;
  }

  void count(MalformedMessageException message) {
    long now = nanoTime.getAsLong();
    count++;
    if (count == 1 || now - lastLoggedNanos >= QUIET_NANOS) {
      lastLoggedNanos = now;
      LOG.warn("{}: {} unreadable so far, now: {}", station, count, message.getMessage());
    }
  }
}
