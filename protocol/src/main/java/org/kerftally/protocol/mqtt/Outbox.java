package org.kerftally.protocol.mqtt;

import java.time.Clock;
import java.time.Duration;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LinkEvent.Replied;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Holds what a live link has sent and waits for: the target that has no answer yet, and what the
 * broker has not acknowledged.
 *
 * <p>A target is published before its time is up or never, with a message expiry of what is left of
 * its validity, in whole seconds as MQTT has it, rounded up; the payload says the exact moment. An
 * answer that comes after the validity, or for another target, is dropped. Of prompts one is on its
 * way at a time and the newest follows it. Not thread-safe: part of a {@link LinkMachine}.
 */
final class Outbox {

  private static final Logger LOG = LoggerFactory.getLogger(Outbox.class);

  private static final long PROMPT_EXPIRY_SECONDS = 60;

  private final String station;
  private final MqttTopics topics;
  private final Duration timeout;
  private final Clock clock;
  private final LongSupplier nanoTime;

  private long tickets;
  private @Nullable Sent sentTarget;
  private @Nullable Sent sentPrompt;
  private @Nullable Target awaited;
  private @Nullable Prompt wanted;
  private @Nullable Prompt shown;

  /** A message the broker has not acknowledged yet, and when it should have. */
  private record Sent(long ticket, long deadlineNanos) {}

  Outbox(String station, MqttTopics topics, Duration timeout, Clock clock, LongSupplier nanoTime) {
    this.station = station;
    this.topics = topics;
    this.timeout = timeout;
    this.clock = clock;
    this.nanoTime = nanoTime;
  }

  /** Publishes a target, if it has time left. */
  void send(BrokerSession session, Target target) {
    Duration left = Duration.between(clock.instant(), target.validUntil());
    if (left.compareTo(target.validity()) > 0) {
      left = target.validity();
    }
    if (left.isZero() || left.isNegative()) {
      LOG.warn("{}: target {} was void before it could be sent", station, target.seq());
      return;
    }
    awaited = target;
    sentTarget = new Sent(++tickets, nanoTime.getAsLong() + left.toNanos());
    long expirySeconds = left.plusNanos(999_999_999).toSeconds();
    byte[] payload = StationMessages.target(target);
    session.publish(topics.target(), payload, expirySeconds, sentTarget.ticket());
  }

  /** Remembers the newest prompt; {@link #publishPrompt} sends it. */
  void show(Prompt prompt) {
    wanted = prompt;
  }

  /** Publishes the newest prompt unless it is shown already or another is on its way. */
  void publishPrompt(BrokerSession session) {
    Prompt prompt = wanted;
    if (prompt == null || sentPrompt != null || prompt.equals(shown)) {
      return;
    }
    shown = prompt;
    sentPrompt = new Sent(++tickets, nanoTime.getAsLong() + timeout.toNanos());
    byte[] payload = StationMessages.prompt(prompt);
    session.publish(topics.prompt(), payload, PROMPT_EXPIRY_SECONDS, sentPrompt.ticket());
  }

  /** Notes that the broker has a message. */
  void delivered(BrokerSession session, long ticket) {
    if (sentTarget != null && sentTarget.ticket() == ticket) {
      sentTarget = null;
    } else if (sentPrompt != null && sentPrompt.ticket() == ticket) {
      sentPrompt = null;
      publishPrompt(session);
    }
  }

  /** Notes that the broker hands a message to nobody; returns a target's refusal, if it was one. */
  @Nullable Replied undeliverable(BrokerSession session, LinkInput.Undeliverable message) {
    Target target = awaited;
    boolean isTarget = sentTarget != null && sentTarget.ticket() == message.ticket();
    delivered(session, message.ticket());
    if (!isTarget || target == null) {
      return null;
    }
    awaited = null;
    return new Replied(target.seq(), false, message.reason());
  }

  /** Returns an answer that is awaited and in time, {@code null} for any other. */
  @Nullable Replied replied(Replied reply) {
    Target target = awaited;
    if (target == null || target.seq() != reply.seq()) {
      LOG.debug("{}: reply to target {}, which is not awaited", station, reply.seq());
      return null;
    }
    awaited = null;
    if (!clock.instant().isBefore(target.validUntil())) {
      LOG.warn("{}: reply to target {} came after its validity", station, reply.seq());
      return null;
    }
    return reply;
  }

  /** Forgets everything but the prompt that is wanted: nothing outlives being live. */
  void forget() {
    sentTarget = null;
    sentPrompt = null;
    awaited = null;
    shown = null;
  }

  /** Returns how long until an acknowledgement is overdue, in nanoseconds; negative when it is. */
  long nanosToOverdue() {
    long now = nanoTime.getAsLong();
    long nanos = Long.MAX_VALUE;
    nanos = sentTarget == null ? nanos : Math.min(nanos, sentTarget.deadlineNanos() - now);
    return sentPrompt == null ? nanos : Math.min(nanos, sentPrompt.deadlineNanos() - now);
  }
}
