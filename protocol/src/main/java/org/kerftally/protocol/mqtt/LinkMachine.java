package org.kerftally.protocol.mqtt;

import java.time.Clock;
import java.time.Duration;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import java.util.random.RandomGenerator;
import org.jspecify.annotations.Nullable;
import org.kerftally.protocol.mqtt.LinkState.Closed;
import org.kerftally.protocol.mqtt.LinkState.Connecting;
import org.kerftally.protocol.mqtt.LinkState.Live;
import org.kerftally.protocol.mqtt.LinkState.Online;
import org.kerftally.protocol.mqtt.LinkState.Settling;
import org.kerftally.protocol.mqtt.LinkState.Subscribing;
import org.kerftally.protocol.mqtt.LinkState.Waiting;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Decides everything a link over MQTT does, without a thread, a socket or a clock of its own: one
 * owner steps it with what came in and with the passing of time.
 *
 * <p>Why it is built so. A broker that comes back has forgotten the session, a client library that
 * reconnects by itself comes back deaf or with old messages in hand, and an acknowledged publish
 * says only that the broker had it. So nothing here relies on a session that lasts: on any doubt
 * (loss, silence, a full queue, a missing acknowledgement) the session is dropped with all that it
 * had not sent, and a new one starts clean. Nothing is lost by that, because the device's retained
 * status is read anew and holds totals, counts and the last cut.
 *
 * <p>When the device counts as there. It must have said {@code online}, and its status must belong
 * to that presence. A status the broker retained is taken only together with a retained {@code
 * online = true} of the same subscription; once the device was offline, only a status published
 * after its {@code online = true} counts. So the retained words of a machine that is switched off
 * never bring a link up.
 *
 * <p>A broker may lose what is published in the instant in which a subscription is made: too late
 * to be handed over as retained, too early to be passed on (the demo's broker did in one of fifty
 * starts on a loaded machine). A machine at rest says nothing more, so waiting could last for good.
 * While the device is not there, its topics are therefore subscribed to again every ten seconds,
 * which makes the broker hand over what it has retained (OASIS MQTT 5.0, 3.8.4).
 *
 * <p>Targets. {@link Outbox} says when one is published and which answers count. Where the broker
 * has not acknowledged one when its validity ends, the session is dropped, so that it cannot leave
 * this machine late.
 */
final class LinkMachine {

  private static final Logger LOG = LoggerFactory.getLogger(LinkMachine.class);

  private static final long FOREVER_NANOS = TimeUnit.HOURS.toNanos(1);

  /** How long a device that is away is waited for before the broker is asked for it again. */
  private static final long ASK_ANEW_NANOS = TimeUnit.SECONDS.toNanos(10);

  private final String station;
  private final String broker;
  private final DeviceTalk talk;
  private final @Nullable WiredMoves moves;
  private final Duration timeout;
  private final BrokerSession.Factory sessions;
  private final LongSupplier nanoTime;
  private final Consumer<LinkEvent> sink;
  private final Backoff backoff;
  private final MalformedTally malformed;
  private final Outbox outbox;

  private LinkState state;
  private Told told = Told.NOTHING;
  private int generation;
  private volatile int liveEpoch;
  private int epochs;

  /** Says what the sink was last told of the link. */
  private enum Told {
    NOTHING,
    UP,
    DOWN
  }

  /** Makes the machine of a device that keeps the device contract. */
  LinkMachine(
      String station,
      BrokerAddress broker,
      MqttTopics topics,
      Duration timeout,
      BrokerSession.Factory sessions,
      Clock clock,
      LongSupplier nanoTime,
      RandomGenerator random,
      Consumer<LinkEvent> sink) {
    this(
        station,
        broker,
        topics,
        new ContractTalk(topics),
        null,
        timeout,
        sessions,
        clock,
        nanoTime,
        random,
        sink);
  }

  /**
   * Makes the machine of any device.
   *
   * @param talk understands what it publishes
   * @param moves hands it targets, {@code null} for one that takes the contract's message
   */
  LinkMachine(
      String station,
      BrokerAddress broker,
      MqttTopics topics,
      DeviceTalk talk,
      @Nullable WiredMoves moves,
      Duration timeout,
      BrokerSession.Factory sessions,
      Clock clock,
      LongSupplier nanoTime,
      RandomGenerator random,
      Consumer<LinkEvent> sink) {
    this.station = station;
    this.broker = "broker " + broker.uri();
    this.talk = talk;
    this.moves = moves;
    this.timeout = timeout;
    this.sessions = sessions;
    this.nanoTime = nanoTime;
    this.sink = sink;
    this.backoff = new Backoff(random);
    this.outbox = new Outbox(station, topics, timeout, clock, nanoTime);
    this.malformed = new MalformedTally(station, nanoTime);
    this.state = new Waiting(nanoTime.getAsLong());
  }

  /** Returns a number that is new each time the link goes live, 0 while it is not. Any thread. */
  int liveEpoch() {
    return liveEpoch;
  }

  /** Returns which session is in use. */
  int generation() {
    return generation;
  }

  /** Takes what a session told; what an abandoned one says is dropped. */
  void accept(LinkInput input) {
    if (input.generation() != generation || session() == null) {
      return;
    }
    if (input instanceof LinkInput.Lost lost) {
      lose(lost.reason());
    } else if (input instanceof LinkInput.Connected) {
      subscribe();
    } else if (input instanceof LinkInput.Subscribed) {
      settle();
    } else if (input instanceof LinkInput.Arrived arrived) {
      arrived(arrived);
    } else if (state instanceof Live live) {
      delivery(live.session(), input);
    }
  }

  private void delivery(BrokerSession session, LinkInput input) {
    if (moves != null && input instanceof LinkInput.Delivered delivered && delivered.ticket() < 0) {
      moves.delivered(delivered.ticket());
      return;
    }
    if (moves != null
        && input instanceof LinkInput.Undeliverable undeliverable
        && undeliverable.ticket() < 0) {
      tellWhileLive(moves.undeliverable(undeliverable));
      return;
    }
    if (input instanceof LinkInput.Delivered delivered) {
      outbox.delivered(session, delivered.ticket());
    } else if (input instanceof LinkInput.Undeliverable undeliverable) {
      tellWhileLive(outbox.undeliverable(session, undeliverable));
    }
  }

  /** Does what is due by now. */
  void tick() {
    long now = nanoTime.getAsLong();
    if (state instanceof Waiting waiting && isDue(waiting.untilNanos(), now)) {
      connect(now);
    } else if (state instanceof Connecting connecting && isDue(connecting.deadlineNanos(), now)) {
      lose(broker + ": took no connection within " + timeout.toMillis() + " ms");
    } else if (state instanceof Subscribing sub && isDue(sub.deadlineNanos(), now)) {
      lose(broker + ": granted no subscription within " + timeout.toMillis() + " ms");
    } else if (state instanceof Settling settling && isDue(settling.deadlineNanos(), now)) {
      if (isPresent(settling.online())) {
        lose(silence(settling.online()));
      } else {
        tellDown(silence(settling.online()));
        subscribe(settling.session());
      }
    } else if (state instanceof Live && (outbox.nanosToOverdue() <= 0 || isMoveOverdue())) {
      lose(broker + ": did not acknowledge a message in time");
    } else {
      goOnMoving();
    }
  }

  private boolean isMoveOverdue() {
    return moves != null && moves.isOverdue();
  }

  private void goOnMoving() {
    if (moves == null || !(state instanceof Live live)) {
      return;
    }
    try {
      tellWhileLive(moves.goOn(live.session()));
    } catch (MalformedMessageException e) {
      lose("the device speaks unreadably: " + e.getMessage());
    }
  }

  /** Returns how long nothing will be due, in nanoseconds, at least 0. */
  long nanosToNextDeadline() {
    long now = nanoTime.getAsLong();
    long nanos = FOREVER_NANOS;
    if (state instanceof Waiting waiting) {
      nanos = waiting.untilNanos() - now;
    } else if (state instanceof Connecting connecting) {
      nanos = connecting.deadlineNanos() - now;
    } else if (state instanceof Subscribing subscribing) {
      nanos = subscribing.deadlineNanos() - now;
    } else if (state instanceof Settling settling) {
      nanos = settling.deadlineNanos() - now;
    }
    nanos = Math.min(nanos, outbox.nanosToOverdue());
    nanos = moves == null ? nanos : Math.min(nanos, moves.nanosToLook());
    return Math.max(0, Math.min(nanos, FOREVER_NANOS));
  }

  /** Publishes a target, if the link is live and the target has time left. */
  void send(Target target) {
    if (state instanceof Live live) {
      if (moves == null) {
        outbox.send(live.session(), target);
      } else {
        moves.send(live.session(), target);
        goOnMoving();
      }
    }
  }

  /** Shows a prompt as soon as the link is live and the one before is on its way. */
  void show(Prompt prompt) {
    outbox.show(prompt);
    if (state instanceof Live live) {
      outbox.publishPrompt(live.session());
    }
  }

  /** Drops the session for a reason of the owner's. */
  void lose(String reason) {
    BrokerSession session = session();
    if (session != null) {
      session.abandon();
    }
    leaveLive();
    tellDown(reason);
    long millis = backoff.nextMillis();
    LOG.debug("{}: {}; next try in {} ms", station, reason, millis);
    state = new Waiting(nanoTime.getAsLong() + TimeUnit.MILLISECONDS.toNanos(millis));
  }

  /** Ends for good, saying goodbye where there is someone to say it to. */
  void close() {
    BrokerSession session = session();
    if (session != null) {
      session.leave();
    }
    leaveLive();
    state = new Closed();
  }

  private static boolean isDue(long deadlineNanos, long nowNanos) {
    return nowNanos - deadlineNanos >= 0;
  }

  private @Nullable BrokerSession session() {
    if (state instanceof Connecting connecting) {
      return connecting.session();
    } else if (state instanceof Subscribing subscribing) {
      return subscribing.session();
    } else if (state instanceof Settling settling) {
      return settling.session();
    } else if (state instanceof Live live) {
      return live.session();
    }
    return null;
  }

  private void connect(long nowNanos) {
    BrokerSession session = sessions.open(++generation);
    if (session == null) {
      lose(broker + ": earlier connections are still ending");
      return;
    }
    state = new Connecting(session, nowNanos + timeout.toNanos());
    session.connect();
  }

  private void subscribe() {
    if (state instanceof Connecting connecting) {
      subscribe(connecting.session());
    }
  }

  private void subscribe(BrokerSession session) {
    state = new Subscribing(session, deadline());
    if (!(state instanceof Live)) {
      talk.forget();
    }
    session.subscribe(talk.topics());
  }

  // Retained messages may come in before the grant does: then the state is Settling already.
  private void settle() {
    if (state instanceof Subscribing subscribing) {
      long wait = told == Told.DOWN ? ASK_ANEW_NANOS : timeout.toNanos();
      long deadline = nanoTime.getAsLong() + wait;
      state = new Settling(subscribing.session(), Online.UNKNOWN, null, deadline);
    }
  }

  private long deadline() {
    return nanoTime.getAsLong() + timeout.toNanos();
  }

  private void arrived(LinkInput.Arrived message) {
    settle();
    String topic = message.topic();
    try {
      for (DeviceTalk.Heard heard : talk.hear(topic, message.payload(), message.retained())) {
        if (heard instanceof DeviceTalk.Heard.Status status) {
          status(status.snapshot(), status.retained());
        } else if (heard instanceof DeviceTalk.Heard.Online online) {
          online(online.online(), online.retained());
        } else if (heard instanceof DeviceTalk.Heard.Cut cut) {
          tellWhileLive(new LinkEvent.CutReported(cut.cut()));
        } else if (heard instanceof DeviceTalk.Heard.Reply reply) {
          tellWhileLive(outbox.replied(reply.reply()));
        }
      }
      goOnMoving();
    } catch (MalformedMessageException e) {
      malformed(topic, e);
    }
  }

  // A status that cannot be read leaves nothing to steer by. A cut or a reply that cannot be read
  // is no loss: the status has the last cut, and a target without an answer becomes void.
  private void malformed(String topic, MalformedMessageException e) {
    malformed.count(e);
    if (!talk.decides(topic)) {
      return;
    }
    BrokerSession session = session();
    if (session != null) {
      boolean wasStatus = !talk.saysOnline(topic);
      Online online = wasStatus ? onlineNow() : Online.NO;
      leaveLive();
      tellDown("the device speaks unreadably: " + e.getMessage());
      state = new Settling(session, online, null, nanoTime.getAsLong() + ASK_ANEW_NANOS);
    }
  }

  private Online onlineNow() {
    if (state instanceof Settling settling) {
      return settling.online();
    }
    return state instanceof Live ? Online.YES : Online.UNKNOWN;
  }

  private void status(DeviceSnapshot snapshot, boolean retained) {
    if (state instanceof Live live) {
      if (!snapshot.equals(live.last())) {
        state = new Live(live.session(), snapshot);
        sink.accept(new LinkEvent.Snapshot(snapshot));
      }
    } else if (state instanceof Settling settling) {
      boolean isOfNow = settling.online() == Online.CAME && !retained;
      if (settling.online() == Online.YES || isOfNow) {
        goLive(settling.session(), snapshot);
      } else if (settling.online() == Online.UNKNOWN && retained) {
        settling(settling, Online.UNKNOWN, snapshot);
      }
    }
  }

  private void online(boolean online, boolean retained) {
    if (state instanceof Settling settling) {
      DeviceSnapshot early = settling.early();
      if (online && retained && early != null) {
        goLive(settling.session(), early);
      } else if (online) {
        settling(settling, retained ? Online.YES : Online.CAME, null);
      } else {
        settling(settling, Online.NO, null);
        tellDown("the device is offline");
      }
    } else if (state instanceof Live live && !online) {
      leaveLive();
      tellDown("the device went offline");
      state = new Settling(live.session(), Online.NO, null, nanoTime.getAsLong() + ASK_ANEW_NANOS);
    }
  }

  private void settling(Settling from, Online online, @Nullable DeviceSnapshot early) {
    long deadline =
        isPresent(online) && !isPresent(from.online()) ? deadline() : from.deadlineNanos();
    state = new Settling(from.session(), online, early, deadline);
  }

  /**
   * A device that is there has a status to give. Where it came while the subscription was being
   * made, its status may have been handed over as retained and so not taken as of now; nothing need
   * ever follow from a machine at rest. A new subscription is handed both together.
   */
  private static boolean isPresent(Online online) {
    return online == Online.YES || online == Online.CAME;
  }

  private String silence(Online online) {
    String span = " within " + timeout.toMillis() + " ms";
    return isPresent(online)
        ? "the device is online but published no status on " + talk.statusPlace() + span
        : "no device said that it is online on " + talk.onlinePlace() + span;
  }

  private void goLive(BrokerSession session, DeviceSnapshot snapshot) {
    state = new Live(session, snapshot);
    backoff.reset();
    told = Told.UP;
    LOG.info("{}: device is up, boot {}", station, snapshot.boot());
    // Live first: whoever hears of it can send.
    liveEpoch = ++epochs;
    if (moves != null) {
      moves.begin(session);
    }
    sink.accept(new LinkEvent.Up(snapshot));
    outbox.publishPrompt(session);
  }

  private void leaveLive() {
    liveEpoch = 0;
    outbox.forget();
    if (moves != null) {
      moves.forget();
    }
  }

  private void tellDown(String reason) {
    if (told != Told.DOWN) {
      told = Told.DOWN;
      LOG.warn("{}: link is down: {}", station, reason);
      sink.accept(new LinkEvent.Down(reason));
    }
  }

  private void tellWhileLive(@Nullable LinkEvent event) {
    if (event != null && state instanceof Live) {
      sink.accept(event);
    }
  }
}
