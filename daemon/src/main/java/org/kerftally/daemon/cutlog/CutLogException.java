package org.kerftally.daemon.cutlog;

import org.jspecify.annotations.Nullable;

/**
 * Reports that the cut log cannot be opened, read or written: the disk, the file, or a stranger's
 * hand in it. A caller's own mistake is an {@link IllegalStateException} instead.
 *
 * <p>An exception from an append that may be retried guarantees that nothing was written. One that
 * may not leaves it open whether the last append will be found in the file: the log refuses further
 * appends until it is opened again, and what it holds then is what happened.
 */
public final class CutLogException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private final boolean mayRetry;

  CutLogException(String message) {
    this(message, null, false);
  }

  CutLogException(String message, @Nullable Throwable cause) {
    this(message, cause, false);
  }

  CutLogException(String message, @Nullable Throwable cause, boolean mayRetry) {
    super(message, cause);
    this.mayRetry = mayRetry;
  }

  /** Tells whether the same call may succeed later: the disk was full, or the file was locked. */
  public boolean mayRetry() {
    return mayRetry;
  }
}
