package org.kerftally.protocol.opcua;

import java.net.ConnectException;
import java.net.UnknownHostException;
import java.nio.channels.UnresolvedAddressException;
import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.jspecify.annotations.Nullable;

/** Waits for answers a bounded time, and puts what went wrong into words. */
final class Answers {

  /** How deep causes are followed. */
  private static final int MAX_CAUSES = 10;

  private Answers() {}

  /**
   * Waits for an answer.
   *
   * @param url who is asked, for the error text
   * @throws LinkFault when the answer is a failure or does not come in time
   */
  static <T> T await(CompletableFuture<T> answer, Duration timeout, String url)
      throws LinkFault, InterruptedException {
    try {
      return answer.get(timeout.toMillis(), TimeUnit.MILLISECONDS);
    } catch (TimeoutException e) {
      throw new LinkFault(url + " did not answer within " + timeout.toMillis() + " ms", e);
    } catch (ExecutionException e) {
      throw new LinkFault(explain(e, url), e);
    }
  }

  /** Says that nobody waits for this one. */
  static void ignore(@SuppressWarnings("unused") CompletableFuture<?> answer) {}

  /** Puts a failure into words, with what to check. */
  static String explain(Throwable failure, String url) {
    if (has(failure, UnknownHostException.class)
        || has(failure, UnresolvedAddressException.class)) {
      return "the host of " + url + " is not known; check the name";
    }
    if (has(failure, ConnectException.class)) {
      return url
          + " takes no connection; check address and port, and that the device is on and its OPC UA"
          + " server runs";
    }
    StatusCode status = UaException.extractStatusCode(failure).orElse(null);
    if (status == null) {
      return url + " failed: " + root(failure);
    }
    long code = status.value();
    if (code == StatusCodes.Bad_Timeout) {
      return url + " did not answer in time";
    }
    if (code == StatusCodes.Bad_ConnectionClosed || code == StatusCodes.Bad_NotConnected) {
      return "the connection to " + url + " was lost";
    }
    return url + " failed: " + SnapshotReader.name(status);
  }

  private static boolean has(Throwable failure, Class<? extends Throwable> type) {
    return find(failure, type) != null;
  }

  private static @Nullable Throwable find(Throwable failure, Class<? extends Throwable> type) {
    Throwable cause = failure;
    for (int depth = 0; cause != null && depth < MAX_CAUSES; depth++) {
      if (type.isInstance(cause)) {
        return cause;
      }
      cause = cause.getCause();
    }
    return null;
  }

  private static String root(Throwable failure) {
    Throwable cause = failure;
    for (int depth = 0; cause.getCause() != null && depth < MAX_CAUSES; depth++) {
      cause = cause.getCause();
    }
    return cause.getClass().getSimpleName() + ": " + cause.getMessage();
  }
}
