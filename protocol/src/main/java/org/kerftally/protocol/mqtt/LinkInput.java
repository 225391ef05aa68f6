package org.kerftally.protocol.mqtt;

/**
 * Says what a session with the broker tells the link. Each carries the generation of its session,
 * so that the last words of an abandoned session are known as such and dropped.
 */
sealed interface LinkInput {

  /** Returns which session speaks. */
  int generation();

  /** Says that the broker took the connection. */
  record Connected(int generation) implements LinkInput {}

  /** Says that the broker granted every subscription. */
  record Subscribed(int generation) implements LinkInput {}

  /** Says that the session is over or cannot be trusted any more. */
  record Lost(int generation, String reason) implements LinkInput {}

  /**
   * Holds one message.
   *
   * @param retained whether it lay at the broker when the link subscribed, rather than being
   *     published since
   */
  @SuppressWarnings("ArrayRecordComponent") // Handed over once, never compared.
  record Arrived(int generation, String topic, byte[] payload, boolean retained)
      implements LinkInput {}

  /** Says that the broker has a published message. */
  record Delivered(int generation, long ticket) implements LinkInput {}

  /** Says that the broker took a published message but will hand it to nobody. */
  record Undeliverable(int generation, long ticket, String reason) implements LinkInput {}
}
