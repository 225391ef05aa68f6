package org.kerftally.protocol;

import java.util.function.Consumer;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;

/**
 * Carries targets to one positioner and its signals back, whatever protocol is spoken.
 *
 * <p>What every link guarantees:
 *
 * <ul>
 *   <li>The first event is {@link LinkEvent.Up} or {@link LinkEvent.Down}. {@code Down} comes once
 *       and is followed by nothing but {@code Up}; {@code Up} holds every signal, read after the
 *       connection was made.
 *   <li>Every change at the device leads to a {@link LinkEvent.Snapshot} of all signals read
 *       together. Values between two snapshots may be skipped: totals and counts lose nothing by
 *       that.
 *   <li>A target reaches the device within its validity or never: none is stored while the link is
 *       away, none is sent again, and an answer that comes after the validity is dropped.
 *   <li>The link comes back by itself, with bounded backoff, for as long as it is not closed.
 * </ul>
 *
 * <p>Threading: every method may be called from any thread and none waits for the device, but for
 * {@link #close()}, which waits a bounded time. Events come one at a time, in order, from a thread
 * of the link; the receiver enqueues and returns.
 */
public interface PositionerLink extends AutoCloseable {

  /**
   * Starts to connect, and returns at once.
   *
   * @param sink receives every event until the link is closed; must not block or throw
   * @throws IllegalStateException when called a second time
   */
  void start(Consumer<LinkEvent> sink);

  /**
   * Hands a target over for sending.
   *
   * @return {@code true} when the link is live and will try; the device's answer comes as {@link
   *     LinkEvent.Replied}, or none comes. {@code false} when the link is not live, the target has
   *     expired or another target is still waiting to be handed on: then nothing is sent, now or
   *     later
   */
  boolean send(Target target);

  /**
   * Shows the operator what is waited for, where the device has a panel. Best effort: the newest
   * prompt wins, and is shown again after a reconnect.
   */
  void show(Prompt prompt);

  /**
   * Ends the link within a bounded time. No event comes afterwards. Calling it again is harmless.
   */
  @Override
  void close();
}
