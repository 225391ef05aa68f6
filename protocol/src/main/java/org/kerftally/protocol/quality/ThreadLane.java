package org.kerftally.protocol.quality;

import java.util.concurrent.ScheduledThreadPoolExecutor;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;

/** Does it in a thread of its own. */
final class ThreadLane implements Lane {

  private static final long CLOSE_MILLIS = 3_000;

  private final ScheduledThreadPoolExecutor executor;
  private volatile Thread thread = Thread.currentThread();

  ThreadLane(String name) {
    executor =
        new ScheduledThreadPoolExecutor(
            1,
            work -> {
              Thread made = new Thread(work, name);
              made.setDaemon(true);
              thread = made;
              return made;
            },
            // Closed: nothing comes any more.
            new ThreadPoolExecutor.DiscardPolicy());
  }

  @Override
  public void run(Runnable work) {
    executor.execute(work);
  }

  @Override
  public void after(long nanos, Runnable work) {
    var unused = executor.schedule(work, Math.max(0, nanos), TimeUnit.NANOSECONDS);
  }

  @Override
  public void close() {
    executor.shutdownNow();
    if (Thread.currentThread() == thread) {
      return;
    }
    try {
      var unused = executor.awaitTermination(CLOSE_MILLIS, TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
