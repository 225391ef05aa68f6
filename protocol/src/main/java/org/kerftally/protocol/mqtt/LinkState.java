package org.kerftally.protocol.mqtt;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;

/**
 * Names where a link stands. Deadlines are readings of the monotonic clock in nanoseconds.
 *
 * <pre>
 * Waiting ──► Connecting ──► Subscribing ──► Settling ◄──► Live
 *    ▲             │              │              │           │
 *    └─────────────┴──── lost ────┴──────────────┴───────────┘        any ──► Closed
 * </pre>
 */
sealed interface LinkState {

  /** No session; the next try comes when the time is up. */
  record Waiting(long untilNanos) implements LinkState {}

  /** A session that waits for the broker to take the connection. */
  record Connecting(BrokerSession session, long deadlineNanos) implements LinkState {}

  /** A session that waits for the broker to grant the subscriptions. */
  record Subscribing(BrokerSession session, long deadlineNanos) implements LinkState {}

  /**
   * A session that waits for the device: that it is online, and its status.
   *
   * @param online what the device last said of itself
   * @param early a retained status that came before {@code online} did, or {@code null}
   * @param deadlineNanos when the wait is reported
   */
  record Settling(
      BrokerSession session, Online online, @Nullable DeviceSnapshot early, long deadlineNanos)
      implements LinkState {}

  /** The device is there and was read whole. */
  record Live(BrokerSession session, DeviceSnapshot last) implements LinkState {}

  /** Over for good. */
  record Closed() implements LinkState {}

  /** Says what is known of the device's presence. */
  enum Online {
    /** Nothing was said since the subscription. */
    UNKNOWN,
    /** The device was connected when the link subscribed: its retained status is of now. */
    YES,
    /** The device came since the link subscribed: only a status published since is of now. */
    CAME,
    /** The device left, or the broker lost it. */
    NO
  }
}
