package org.kerftally.protocol.mqtt;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Holds one connection to a broker, used once and thrown away. No method blocks; what comes of it
 * is told as {@link LinkInput}s. Called by one thread only.
 */
interface BrokerSession {

  /** Connects with a clean start; told as {@code Connected} or {@code Lost}. */
  void connect();

  /** Subscribes; told as {@code Subscribed} or {@code Lost}. */
  void subscribe(List<String> topics);

  /**
   * Publishes with QoS 1, not retained; told as {@code Delivered}, {@code Undeliverable} or {@code
   * Lost}.
   *
   * @param expirySeconds after which the broker throws the message away undelivered, at least 1
   * @param ticket comes back with the outcome
   */
  void publish(String topic, byte[] payload, long expirySeconds, long ticket);

  /** Drops the connection and everything not yet on the wire, at once. */
  void abandon();

  /** Says goodbye to the broker within a short bounded time, then drops the connection. */
  void leave();

  /** Makes sessions. */
  interface Factory {

    /** Returns a new session, or {@code null} while too many dropped ones are still ending. */
    @Nullable BrokerSession open(int generation);
  }
}
