package org.kerftally.protocol.opcua;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LinkEvent;

/**
 * Gathers what the library's threads have to say to the link's own thread during one connection.
 * Changes coalesce, the first loss stays, answers are as many as targets may be unanswered: it
 * cannot grow.
 */
final class Inbox {

  /**
   * Holds what came in since the last look.
   *
   * @param changed whether anything at the device changed
   * @param answers the device's answers, in order
   * @param lost why the connection is lost, or {@code null} while it is not
   */
  record Work(boolean changed, List<LinkEvent.Replied> answers, @Nullable String lost) {}

  /** How many targets may wait for their answer at a time. */
  static final int MAX_UNANSWERED = 4;

  private final ReentrantLock lock = new ReentrantLock();
  private final Condition stirred = lock.newCondition();
  private final ArrayDeque<LinkEvent.Replied> answers = new ArrayDeque<>(MAX_UNANSWERED);
  private boolean changed;
  private boolean woken;
  private @Nullable String lost;

  /** Notes that something at the device changed. */
  void change() {
    put(() -> changed = true);
  }

  /** Notes that there is something to do, although nothing came in. */
  void wake() {
    put(() -> woken = true);
  }

  /** Notes that the connection is lost. The first reason stays. */
  void lose(String reason) {
    put(
        () -> {
          if (lost == null) {
            lost = reason;
          }
        });
  }

  /** Takes an answer in. More than may be unanswered never come; they would be dropped. */
  void answer(LinkEvent.Replied reply) {
    put(
        () -> {
          if (answers.size() < MAX_UNANSWERED) {
            answers.add(reply);
          }
        });
  }

  /** Waits for something to do, at most so long, and takes it out. */
  Work await(long timeoutNanos) throws InterruptedException {
    lock.lockInterruptibly();
    try {
      long left = timeoutNanos;
      while (!changed && !woken && lost == null && answers.isEmpty() && left > 0) {
        left = stirred.awaitNanos(left);
      }
      Work work = new Work(changed, new ArrayList<>(answers), lost);
      changed = false;
      woken = false;
      answers.clear();
      return work;
    } finally {
      lock.unlock();
    }
  }

  private void put(Runnable note) {
    lock.lock();
    try {
      note.run();
      stirred.signalAll();
    } finally {
      lock.unlock();
    }
  }
}
