package org.kerftally.protocol.probe;

import java.time.Duration;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Looks at one device's signals, one by one, so that one wrong signal hides no other.
 *
 * <p>Never writes, calls or publishes anything. Threading: one thread has it.
 */
public interface SignalProbe extends AutoCloseable {

  /**
   * Returns every signal that is mapped, or that the device contract has and the device too.
   *
   * @throws ProbeException when the connection was lost
   */
  List<SignalReading> read() throws ProbeException, InterruptedException;

  /**
   * Returns what is wrong with no single signal: what the last reading makes together, or that the
   * device lets nobody subscribe.
   */
  List<String> faults();

  /** Begins to note changes. */
  void watch() throws ProbeException, InterruptedException;

  /** Waits until something changes, for a time at most. */
  void await(Duration most) throws ProbeException, InterruptedException;

  /** Returns how long answers take, {@code null} where that cannot be said. */
  @Nullable RoundTrip roundTrip(int times) throws ProbeException, InterruptedException;

  @Override
  void close();
}
