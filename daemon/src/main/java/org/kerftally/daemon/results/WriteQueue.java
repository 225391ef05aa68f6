package org.kerftally.daemon.results;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.problem.Problem;

/**
 * Remembers which files are to be written and when each may be: not again at once, so that a burst
 * of cuts becomes one write, and after a failure later and later.
 *
 * <p>A key that is asked for again while it is being written stays asked for. The span after a
 * write grows with the time it took, so that writing never takes more than about a twentieth of the
 * time, however long a job's list of cuts has become. Not thread-safe.
 */
final class WriteQueue<K> {

  /** The least span between two writes of the same file: four a second at the most. */
  static final long MIN_SPAN_NANOS = 250_000_000L;

  /** The span after the first failure; it doubles with each more. */
  static final long FIRST_RETRY_NANOS = 500_000_000L;

  /** The longest span between two tries. */
  static final long MAX_RETRY_NANOS = 30_000_000_000L;

  private static final int SHARE = 20;

  private static final class Entry {
    boolean wanted;
    long notBefore;
    int failures;
    @Nullable Problem problem;
  }

  private final Map<K, Entry> entries = new LinkedHashMap<>();

  /** Asks for a file to be written as it is to be from now on. */
  void want(K key, long now) {
    Entry entry = entries.get(key);
    if (entry == null) {
      entry = new Entry();
      entry.notBefore = now;
      entries.put(key, entry);
    }
    entry.wanted = true;
  }

  /** Takes a file that is due, if any; {@link #written} or {@link #failed} must follow. */
  Optional<K> take(long now) {
    for (Map.Entry<K, Entry> each : entries.entrySet()) {
      Entry entry = each.getValue();
      if (entry.wanted && now - entry.notBefore >= 0) {
        entry.wanted = false;
        return Optional.of(each.getKey());
      }
    }
    return Optional.empty();
  }

  /** Notes that a file was written. */
  void written(K key, long now, long tookNanos) {
    Entry entry = entries.get(key);
    if (entry != null) {
      entry.failures = 0;
      entry.problem = null;
      entry.notBefore = now + Math.max(MIN_SPAN_NANOS, tookNanos * SHARE);
    }
    forgetIdle(now);
  }

  /** Notes that a file could not be written; it is tried again. */
  void failed(K key, long now, Problem problem) {
    Entry entry = entries.get(key);
    if (entry != null) {
      entry.wanted = true;
      entry.problem = problem;
      long span = FIRST_RETRY_NANOS << Math.min(entry.failures, 20);
      entry.notBefore = now + Math.min(MAX_RETRY_NANOS, span);
      entry.failures++;
    }
  }

  /** Drops a file from the queue: nothing is known of it any more. */
  void drop(K key) {
    entries.remove(key);
  }

  private void forgetIdle(long now) {
    entries.values().removeIf(e -> !e.wanted && e.problem == null && now - e.notBefore >= 0);
  }

  /** Returns in how many nanoseconds a file is due, 0 for now, or -1 when none is asked for. */
  long nanosUntilDue(long now) {
    long least = -1;
    for (Entry entry : entries.values()) {
      if (entry.wanted) {
        long span = Math.max(0, entry.notBefore - now);
        least = least < 0 ? span : Math.min(least, span);
      }
    }
    return least;
  }

  /** Returns what could not be written so far, oldest first. */
  List<Problem> problems() {
    List<Problem> problems = new ArrayList<>();
    for (Entry entry : entries.values()) {
      if (entry.problem != null) {
        problems.add(entry.problem);
      }
    }
    return problems;
  }
}
