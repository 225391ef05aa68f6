package org.kerftally.daemon.trace;

import java.util.ArrayDeque;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;

/**
 * Holds what is not written yet. Bounded by number and by weight: what finds no room is counted and
 * gone. Any thread puts and never waits, one takes.
 */
final class TraceQueue {

  /** Some seconds of the busiest device. */
  static final int MAX_ITEMS = 4_000;

  /** Bounds what many long messages may take of the memory. */
  static final long MAX_WEIGHT_BYTES = 8L << 20;

  private final ReentrantLock lock = new ReentrantLock();
  private final Condition filled = lock.newCondition();
  private final ArrayDeque<TraceItem> items = new ArrayDeque<>();
  private long weightBytes;
  private long lost;
  private boolean closed;

  /** Puts an item in; {@code false} when there was no room. */
  boolean put(TraceItem item) {
    lock.lock();
    try {
      if (closed) {
        return false;
      }
      // Once something was lost, all is until the writer has said so: the order stays whole.
      if (lost > 0 || items.size() >= MAX_ITEMS || weightBytes + item.weight() > MAX_WEIGHT_BYTES) {
        lost++;
        return false;
      }
      items.add(item);
      weightBytes += item.weight();
      filled.signal();
      return true;
    } finally {
      lock.unlock();
    }
  }

  /** Takes the oldest; {@code null} when there is none within so long. */
  @Nullable TraceItem take(long timeoutMillis) throws InterruptedException {
    long left = TimeUnit.MILLISECONDS.toNanos(timeoutMillis);
    lock.lockInterruptibly();
    try {
      while (items.isEmpty() && lost == 0 && !closed && left > 0) {
        left = filled.awaitNanos(left);
      }
      TraceItem item = items.poll();
      if (item != null) {
        weightBytes -= item.weight();
      }
      return item;
    } finally {
      lock.unlock();
    }
  }

  /** Returns how many were lost behind all that was taken, 0 while something waits before them. */
  long takeLost() {
    lock.lock();
    try {
      if (!items.isEmpty()) {
        return 0;
      }
      long taken = lost;
      lost = 0;
      return taken;
    } finally {
      lock.unlock();
    }
  }

  boolean isEmpty() {
    lock.lock();
    try {
      return items.isEmpty() && lost == 0;
    } finally {
      lock.unlock();
    }
  }

  /** Takes nothing more in. */
  void close() {
    lock.lock();
    try {
      closed = true;
      filled.signalAll();
    } finally {
      lock.unlock();
    }
  }

  boolean isClosed() {
    lock.lock();
    try {
      return closed;
    } finally {
      lock.unlock();
    }
  }
}
