package org.kerftally.protocol.quality;

/** Does one thing at a time, in order, now or later. */
interface Lane {

  /** Does it after all that was given before. */
  void run(Runnable work);

  /** Does it after so long, at the earliest. */
  void after(long nanos, Runnable work);

  /** Ends: what has not begun is not done, and what is under way ends within a bounded time. */
  void close();
}
