package org.kerftally.protocol.mqtt;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.Duration;
import java.util.HashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.MoveEngine;
import org.kerftally.protocol.wiring.MoveInputs;
import org.kerftally.protocol.wiring.PointValues;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.protocol.wiring.Write;
import org.kerftally.shared.device.LinkEvent.Replied;
import org.kerftally.shared.device.Target;

/**
 * Hands targets to a device that does not take the contract's message, by publishing what a {@link
 * MoveEngine} says. One broker hands messages of one sender on in their order (OASIS MQTT 5.0,
 * 4.6), so a device sees the position before the strobe. Not thread-safe: part of a {@link
 * LinkMachine}.
 */
final class WiredMoves {

  /** How long a message that takes something back may lie at the broker. */
  private static final long TAKE_BACK_SECONDS = 60;

  /** How often the time of a target that is under way is looked at. */
  private static final long LOOK_NANOS = TimeUnit.MILLISECONDS.toNanos(50);

  /** A nanometre in a device's unit of a metre. */
  private static final int MAX_DECIMALS = 9;

  private final MoveConfig move;
  private final DevicePicture picture;
  private final WiredTalk talk;
  private final Duration timeout;
  private final Clock clock;
  private final LongSupplier nanoTime;
  private final Map<Long, Long> unacknowledged = new HashMap<>();
  private @Nullable MoveEngine engine;
  private @Nullable Target target;
  private long tickets;

  WiredMoves(
      MoveConfig move,
      DevicePicture picture,
      WiredTalk talk,
      Duration timeout,
      Clock clock,
      LongSupplier nanoTime) {
    this.move = move;
    this.picture = picture;
    this.talk = talk;
    this.timeout = timeout;
    this.clock = clock;
    this.nanoTime = nanoTime;
  }

  /** Begins a stretch of being live: takes back what an earlier one left standing. */
  void begin(BrokerSession session) {
    MoveEngine made = new MoveEngine(move, picture);
    engine = made;
    publish(session, made.begin());
  }

  /** Forgets everything: nothing outlives being live. */
  void forget() {
    engine = null;
    target = null;
    unacknowledged.clear();
  }

  /** Takes a target over, if it has time left and none is under way. */
  void send(BrokerSession session, Target next) {
    Duration left = left(next);
    MoveEngine running = engine;
    if (running == null || left.isZero() || left.isNegative()) {
      return;
    }
    if (running.offer(next, nanoTime.getAsLong() + left.toNanos())) {
      target = next;
    }
  }

  private Duration left(Target next) {
    Duration left = Duration.between(clock.instant(), next.validUntil());
    return left.compareTo(next.validity()) > 0 ? next.validity() : left;
  }

  /**
   * Goes on by what was heard last.
   *
   * @return what to tell the station, {@code null} for nothing
   */
  @Nullable Replied goOn(BrokerSession session) throws MalformedMessageException {
    MoveEngine running = engine;
    MoveInputs inputs = talk.inputs();
    if (running == null || inputs == null) {
      return null;
    }
    try {
      MoveEngine.Work work = running.look(inputs, talk.permitsMove(), nanoTime.getAsLong());
      publish(session, work);
      return inTime(work.reply());
    } catch (SignalFault e) {
      throw new MalformedMessageException(e.reason());
    }
  }

  private @Nullable Replied inTime(@Nullable Replied reply) {
    Target asked = target;
    if (reply == null || asked == null || asked.seq() != reply.seq()) {
      return null;
    }
    return clock.instant().isBefore(asked.validUntil()) ? reply : null;
  }

  /** Notes that the broker has a message; tells whether it was one of these. */
  boolean delivered(long ticket) {
    return unacknowledged.remove(ticket) != null;
  }

  /** Returns what to tell the station of a message nobody listens for. */
  @Nullable Replied undeliverable(LinkInput.Undeliverable message) {
    Target asked = target;
    return delivered(message.ticket()) && asked != null
        ? inTime(new Replied(asked.seq(), false, message.reason()))
        : null;
  }

  /** Returns how long nothing is due, in nanoseconds. */
  long nanosToLook() {
    MoveEngine running = engine;
    return running != null && running.isBusy() ? LOOK_NANOS : Long.MAX_VALUE;
  }

  /** Tells whether the broker did not acknowledge a message in time. */
  boolean isOverdue() {
    long now = nanoTime.getAsLong();
    return unacknowledged.values().stream().anyMatch(deadline -> now - deadline >= 0);
  }

  private void publish(BrokerSession session, MoveEngine.Work work) {
    Target asked = target;
    Duration holds = work.starts() && asked != null ? left(asked) : timeout;
    // In whole seconds, as MQTT has it: rounded down, for no device is told the exact moment.
    long expiry = work.starts() ? Math.max(1, holds.toSeconds()) : TAKE_BACK_SECONDS;
    for (Write write : work.writes()) {
      // Tickets of the outbox are above 0; these below tell themselves apart.
      long ticket = --tickets;
      // What the broker does not have when the target is void must not leave this machine late.
      unacknowledged.put(ticket, nanoTime.getAsLong() + holds.toNanos());
      PointConfig point = move.point(write.point());
      byte[] payload = payload(point, write).getBytes(StandardCharsets.UTF_8);
      session.publish(((Place.Topic) point.place()).topic(), payload, expiry, ticket);
    }
  }

  private static String payload(PointConfig point, Write write) {
    String template = point.template() == null ? "{value}" : point.template();
    if (write instanceof Write.Command command) {
      return template
          .replace("{position}", decimal(point, command.position()))
          .replace("{sequence}", Long.toString(command.seq()));
    }
    String value =
        write instanceof Write.Position position
            ? decimal(point, position.position())
            : write instanceof Write.Count count
                ? Long.toString(count.number())
                : Boolean.toString(((Write.Flag) write).on());
    return template.replace("{value}", value);
  }

  /** Whole counts are sent as whole numbers; a length in a unit of people keeps its decimals. */
  private static String decimal(PointConfig point, org.kerftally.shared.length.Length position) {
    BigDecimal units = PointValues.deviceUnits(point, position);
    BigDecimal rounded = units.setScale(MAX_DECIMALS, RoundingMode.HALF_EVEN);
    return rounded.signum() == 0 ? "0" : rounded.stripTrailingZeros().toPlainString();
  }
}
