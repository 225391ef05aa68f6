package org.kerftally.daemon.intake.folder;

import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Remembers how long a file has looked the same.
 *
 * <p>A copy in progress changes size, time or both; a tool that preserves times changes the size;
 * so a file counts as still when at least two looks agree and the first of them is old enough on
 * the monotonic clock. The file's own time is compared, never believed. For one thread.
 */
final class Candidate {

  private static final long FIRST_RETRY_NANOS = TimeUnit.SECONDS.toNanos(1);
  private static final long LAST_RETRY_NANOS = TimeUnit.SECONDS.toNanos(60);

  private FileFacts facts;
  private long sinceNanos;
  private boolean seenTwice;
  private long retryNanos = FIRST_RETRY_NANOS;
  private long pausedAtNanos;
  private long pauseNanos;
  private @Nullable String trouble;

  Candidate(FileFacts facts, long nowNanos) {
    this.facts = facts;
    this.sinceNanos = nowNanos;
  }

  FileFacts facts() {
    return facts;
  }

  /** Takes in another look at the file. */
  void seen(FileFacts now, long nowNanos) {
    if (now.looksLike(facts)) {
      seenTwice = true;
    } else {
      restart(now, nowNanos);
    }
  }

  /** Starts waiting anew: the file changed. */
  void restart(FileFacts now, long nowNanos) {
    facts = now;
    sinceNanos = nowNanos;
    seenTwice = false;
    trouble = null;
    retryNanos = FIRST_RETRY_NANOS;
    pauseNanos = 0;
  }

  /** Tells whether the file has looked the same for a span, in at least two looks. */
  boolean isStill(long spanNanos, long nowNanos) {
    return seenTwice && nowNanos - sinceNanos >= spanNanos;
  }

  /** Leaves the file alone for a while, twice as long each time. */
  void pause(String reason, long nowNanos) {
    trouble = reason;
    pausedAtNanos = nowNanos;
    pauseNanos = retryNanos;
    retryNanos = Math.min(2 * retryNanos, LAST_RETRY_NANOS);
  }

  boolean isPaused(long nowNanos) {
    return pauseNanos > 0 && nowNanos - pausedAtNanos < pauseNanos;
  }

  /** Returns why the file could not be handled at the last try, or {@code null}. */
  @Nullable String trouble() {
    return trouble;
  }
}
