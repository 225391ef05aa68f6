package org.kerftally.daemon.results;

import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;

/**
 * Owns the thread that writes results: a fault of the disk is the writer's own business, anything
 * else ends the thread and is told.
 */
public final class ResultsOwner implements AutoCloseable {

  private static final long STEP_MILLIS = 50;

  /** What is due at the end is written if it can be within this time; the log has it anyway. */
  private static final long CLOSE_MILLIS = 5_000;

  private final ResultsWriter writer;
  private final Thread thread;
  private volatile boolean closing;

  /** Starts the thread; {@code onDeath} is told, by it, of what ended it unasked. */
  public ResultsOwner(ResultsWriter writer, Consumer<Throwable> onDeath) {
    this.writer = writer;
    this.thread = new Thread(() -> work(onDeath), "results");
    thread.start();
  }

  private void work(Consumer<Throwable> onDeath) {
    try {
      while (!closing) {
        if (writer.doWork() == 0) {
          TimeUnit.MILLISECONDS.sleep(STEP_MILLIS);
        }
      }
      long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(CLOSE_MILLIS);
      while (!writer.settled() && System.nanoTime() - until < 0) {
        if (writer.doWork() == 0) {
          TimeUnit.MILLISECONDS.sleep(STEP_MILLIS);
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (RuntimeException | Error e) {
      onDeath.accept(e);
    }
  }

  @Override
  public void close() {
    closing = true;
    try {
      thread.join(2 * CLOSE_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
