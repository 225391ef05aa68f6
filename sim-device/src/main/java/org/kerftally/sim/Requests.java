package org.kerftally.sim;

import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/**
 * Passes requests from any thread to the one that owns the machine, and the answers back.
 *
 * <p>The queue is bounded and the wait is bounded. A request whose caller has gone is not run
 * later: caller and owner race for the same {@link CompletableFuture}, through {@link Claim}, so
 * either the request runs and the caller gets its answer, or it never runs.
 */
final class Requests {

  /** How many requests may wait; a caller beyond it is answered at once with its fallback. */
  private static final int LIMIT = 1024;

  /** How long a caller waits for the owner to begin with its request. */
  private static final long BEGIN_TIMEOUT_MILLIS = 3_000;

  /** How long a caller waits for a request that has begun; it covers a slow disk. */
  private static final long ANSWER_TIMEOUT_MILLIS = 30_000;

  private final BlockingQueue<Runnable> waiting = new ArrayBlockingQueue<>(LIMIT);

  private enum Claim {
    OWNER,
    CALLER
  }

  /** Waits for the next request, {@code null} when none came in time. */
  @Nullable Runnable poll(long timeoutNanos) throws InterruptedException {
    return waiting.poll(timeoutNanos, TimeUnit.NANOSECONDS);
  }

  /** Wakes the owner; when the queue is full it is awake already. */
  boolean wake() {
    return waiting.offer(() -> {});
  }

  /**
   * Runs a request on the owner's thread and returns its answer, or {@code otherwise} when it was
   * not run.
   *
   * @throws IllegalStateException when the request failed, with its cause
   */
  <T> T ask(Supplier<T> request, T otherwise) {
    CompletableFuture<Claim> claim = new CompletableFuture<>();
    CompletableFuture<T> answer = new CompletableFuture<>();
    Runnable task =
        () -> {
          if (claim.complete(Claim.OWNER)) {
            try {
              answer.complete(request.get());
            } catch (RuntimeException e) {
              answer.completeExceptionally(e);
              throw e;
            }
          }
        };
    if (!waiting.offer(task)) {
      return otherwise;
    }
    try {
      claim.get(BEGIN_TIMEOUT_MILLIS, TimeUnit.MILLISECONDS);
      return answer.get(ANSWER_TIMEOUT_MILLIS, TimeUnit.MILLISECONDS);
    } catch (TimeoutException e) {
      if (claim.complete(Claim.CALLER)) {
        return otherwise;
      }
      throw new IllegalStateException("the device began a request and did not end it", e);
    } catch (ExecutionException e) {
      throw new IllegalStateException("the device failed: " + e.getCause(), e.getCause());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      if (claim.complete(Claim.CALLER)) {
        return otherwise;
      }
      throw new IllegalStateException("interrupted while the device worked", e);
    }
  }
}
