package org.kerftally.daemon.service;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.shared.device.LinkEvent;

/**
 * Holds what has reached a station and was not decided on yet. Bounded: when it is full, the oldest
 * snapshot or cut report makes room, since the next snapshot carries the same totals; what cannot
 * be told again (connects, answers, jobs, plans) is never dropped.
 *
 * <p>Any thread puts, one owner takes. Putting never blocks.
 */
final class Mailbox {

  /** Some seconds of the busiest device. */
  static final int CAPACITY = 2_000;

  private final Deque<StationInput> inputs = new ArrayDeque<>();
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition filled = lock.newCondition();

  void put(StationInput input) {
    lock.lock();
    try {
      if (inputs.size() >= CAPACITY) {
        dropOneThatIsToldAgain();
      }
      inputs.add(input);
      filled.signal();
    } finally {
      lock.unlock();
    }
  }

  private void dropOneThatIsToldAgain() {
    for (var each = inputs.iterator(); each.hasNext(); ) {
      if (isToldAgain(each.next())) {
        each.remove();
        return;
      }
    }
  }

  private static boolean isToldAgain(StationInput input) {
    return input instanceof StationInput.FromLink link
        && (link.event() instanceof LinkEvent.Snapshot
            || link.event() instanceof LinkEvent.CutReported);
  }

  /** Takes the oldest, or returns {@code null} after so many milliseconds without one. */
  @Nullable StationInput take(long timeoutMillis) throws InterruptedException {
    long left = TimeUnit.MILLISECONDS.toNanos(timeoutMillis);
    lock.lockInterruptibly();
    try {
      while (inputs.isEmpty() && left > 0) {
        left = filled.awaitNanos(left);
      }
      return inputs.poll();
    } finally {
      lock.unlock();
    }
  }

  int size() {
    lock.lock();
    try {
      return inputs.size();
    } finally {
      lock.unlock();
    }
  }
}
