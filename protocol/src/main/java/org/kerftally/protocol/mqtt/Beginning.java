package org.kerftally.protocol.mqtt;

import java.io.InterruptedIOException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/**
 * Marks the moment at which the client library has started all its threads for a connection.
 *
 * <p>Why it is needed. The library starts a receiving, a sending and a calling thread, one after
 * the other, and waits for each until it sees it running. When the connection ends in between (a
 * broker that resets at once, or a session given up early), the thread it waits for has run and
 * ended unseen, and the one that waits does so for ever, ten times a second. A broker that is down
 * behind something that still accepts connections would so leave one thread behind with every try.
 * The library writes its first byte only after all are started. So until then nothing is read (an
 * end is seen later), and nothing is ended from outside.
 */
final class Beginning {

  /** Longer than a connect may take: then it has failed and started nothing. */
  private static final long MAX_WAIT_MILLIS = 15_000;

  private final CountDownLatch marked = new CountDownLatch(1);

  /** Returns one that is over: nothing waits for it. */
  static Beginning past() {
    Beginning past = new Beginning();
    past.mark();
    return past;
  }

  /** Says that the first byte is about to be written, or that nothing was or will be started. */
  void mark() {
    marked.countDown();
  }

  /** Waits for the mark, a bounded time. */
  void await() throws InterruptedIOException {
    try {
      boolean unused = marked.await(MAX_WAIT_MILLIS, TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InterruptedIOException("interrupted before the connection had begun");
    }
  }
}
