package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.function.Supplier;

/**
 * Bounds the bytes that reading takes from the heap: a measure of work that no slow machine moves.
 */
final class Allocation {

  private static final ThreadMXBean THREADS = (ThreadMXBean) ManagementFactory.getThreadMXBean();

  /** The first thousand problems with their words, and a search for what each may mean. */
  private static final long FIXED_BYTES = 48L << 20;

  /** A byte can be a field, a line or half a token, each of which is a handful of objects. */
  private static final long PER_BYTE = 4_000;

  private Allocation() {}

  /** Returns what is read, and fails where that takes more than the bytes given may. */
  static <T> T bounded(int bytesGiven, Supplier<T> reading) {
    long bound = FIXED_BYTES + PER_BYTE * bytesGiven;
    long before = ofThisThread();
    T read = reading.get();
    if (ofThisThread() - before > bound) {
      // Once more: the first time counts the loading of classes.
      before = ofThisThread();
      read = reading.get();
      assertThat(ofThisThread() - before).as("bytes taken").isLessThanOrEqualTo(bound);
    }
    return read;
  }

  private static long ofThisThread() {
    return THREADS.getThreadAllocatedBytes(Thread.currentThread().getId());
  }
}
