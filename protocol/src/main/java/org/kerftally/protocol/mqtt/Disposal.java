package org.kerftally.protocol.mqtt;

import java.util.concurrent.atomic.AtomicInteger;

/**
 * Ends dropped connections on threads of their own, because the client library may take long to let
 * go. Bounded: while too many are still ending no new connection may be opened.
 */
final class Disposal {

  /** More than one, since a connection may hang on a network that swallows everything. */
  static final int MAX_ENDING = 4;

  private final AtomicInteger ending = new AtomicInteger();

  boolean isFull() {
    return ending.get() >= MAX_ENDING;
  }

  /** Runs the task on a daemon thread. */
  Thread start(String name, Runnable task) {
    ending.incrementAndGet();
    Thread thread =
        new Thread(
            () -> {
              try {
                task.run();
              } finally {
                ending.decrementAndGet();
              }
            },
            name);
    thread.setDaemon(true);
    thread.start();
    return thread;
  }
}
