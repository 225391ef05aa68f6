package org.kerftally.protocol.opcua;

import java.time.Clock;
import java.time.Duration;
import java.util.Objects;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.structured.CallMethodResult;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.LinkTap.Way;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.opcua.LinkState.Closed;
import org.kerftally.protocol.opcua.LinkState.Live;
import org.kerftally.protocol.opcua.LinkState.Opening;
import org.kerftally.protocol.opcua.LinkState.Resting;
import org.kerftally.protocol.wiring.ContractReader;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.Marks;
import org.kerftally.protocol.wiring.Words;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Links a station to its positioner over OPC UA.
 *
 * <p><b>One thread owns the link</b> and walks it through the states of {@link LinkState}: opening,
 * live, resting, closed. It makes the connection, reads, and passes every event on, so that events
 * have one order. The library's threads only leave a note in the connection's {@link Inbox}.
 *
 * <p><b>A connection is used once.</b> When it is lost in any way (the server closes, the session
 * ends, a read fails or does not return, a value is bad) it is thrown away with whatever waits in
 * it, the station hears {@code Down}, and a new one is made from nothing: endpoints, session, nodes
 * by namespace, subscription, and a first read that the station hears as {@code Up}. There is one
 * way up, and it is walked from the first start on, so it works on the day it is needed.
 *
 * <p><b>The subscription is a wake-up, the Read is the truth.</b> On every stir, and once a second
 * without, all signals are read in one request and passed on when anything is different. Should the
 * polls keep finding changes the subscription did not tell of, the subscription is dead and the
 * connection is given up. The poll is the heartbeat as well: a server that hangs is noticed within
 * the poll and one timeout.
 *
 * <p><b>A target goes out now or never.</b> It is handed to the standing connection from the
 * caller's thread, see {@link LiveTransport}, with what is left of its validity as the request's
 * time limit, and its answer is dropped when it comes too late.
 *
 * <p><b>What secures it</b> is decided in {@link LinkSecurity}, for each connection anew.
 */
public final class OpcUaLink implements PositionerLink {

  /** How long without a stir until all is read anyway. */
  private static final long POLL_NANOS = TimeUnit.SECONDS.toNanos(1);

  /** The rest after the first failure; it doubles with every further one. */
  private static final long FIRST_REST_NANOS = TimeUnit.MILLISECONDS.toNanos(250);

  /** The longest rest between two attempts. */
  private static final long LONGEST_REST_NANOS = TimeUnit.SECONDS.toNanos(5);

  /** How long without a stir until all is read again while a target is being handed over. */
  private static final long HANDSHAKE_POLL_NANOS = TimeUnit.MILLISECONDS.toNanos(20);

  /** How long a connection must last for its loss to count as a first failure again. */
  private static final long STEADY_NANOS = TimeUnit.SECONDS.toNanos(5);

  /** How many changes the polls may find in a row before the subscription counts as dead. */
  private static final int MAX_SILENT_CHANGES = 3;

  /** How long closing waits for the link's thread. */
  private static final Duration CLOSING = Duration.ofSeconds(3);

  private static final String NUMBERS_USED_UP =
      "no sequence number of 32 bits is left above the last one the device named; mend"
          + " ActiveSequence at the device, then give the station another name";

  private static final Logger LOG = LoggerFactory.getLogger(OpcUaLink.class);

  private final String station;
  private final OpcUaLinkConfig config;
  private final Clock clock;
  private final LinkTap tap;
  private final LinkSecurity security;
  private final Endpoints endpoints;
  private final DevicePicture picture;
  private final Thread owner;
  private final Object emission = new Object();
  private final AtomicInteger unanswered = new AtomicInteger();
  private final AtomicReference<@Nullable Prompt> prompt = new AtomicReference<>();

  private volatile LinkState state = new Opening(0);
  private volatile boolean closing;
  private @Nullable Consumer<LinkEvent> sink;
  private boolean down;
  private @Nullable String lastReason;
  private volatile @Nullable Prompt shown;

  /** One write at a time: two under way could overtake each other, and the older one would stay. */
  private volatile boolean showing;

  /**
   * Makes a link that does nothing until it is started.
   *
   * @param window how far from its target the stop still counts as in position
   * @param certificates the site's certificates; not touched by a link without security
   */
  public OpcUaLink(
      String station,
      OpcUaLinkConfig config,
      Length window,
      CertificateFolder certificates,
      Clock clock) {
    this(station, config, window, certificates, clock, LinkTap.NONE);
  }

  /** Makes the same with somebody who listens on its wire. */
  public OpcUaLink(
      String station,
      OpcUaLinkConfig config,
      Length window,
      CertificateFolder certificates,
      Clock clock,
      LinkTap tap) {
    this(
        station,
        config,
        window,
        new LinkSecurity(config, certificates, LinkSecurity.CHANNEL_LIFETIME),
        clock,
        tap);
  }

  /** Makes a link with security of its own. */
  OpcUaLink(
      String station, OpcUaLinkConfig config, Length window, LinkSecurity security, Clock clock) {
    this(station, config, window, security, clock, LinkTap.NONE);
  }

  private OpcUaLink(
      String station,
      OpcUaLinkConfig config,
      Length window,
      LinkSecurity security,
      Clock clock,
      LinkTap tap) {
    this.tap = tap;
    this.station = station;
    this.config = config;
    this.clock = clock;
    this.security = security;
    this.endpoints = new Endpoints(config, security);
    this.picture = new DevicePicture(config.wiring(), window, Marks.next());
    this.owner = new Thread(this::run, "kerftally-opcua-" + station);
    owner.setDaemon(true);
  }

  @Override
  public void start(Consumer<LinkEvent> receiver) {
    synchronized (emission) {
      if (sink != null) {
        throw new IllegalStateException("the link of " + station + " was started before");
      }
      sink = receiver;
      if (!closing) {
        owner.start();
      }
    }
  }

  @Override
  public boolean send(Target target) {
    if (!(state instanceof Live live) || closing || !live.connection().isConnected()) {
      return false;
    }
    if (target.seq() > UInteger.MAX_VALUE) {
      // A device may name any number as the last it took, and ours go on above it.
      live.connection().inbox().answer(new LinkEvent.Replied(target.seq(), false, NUMBERS_USED_UP));
      return true;
    }
    Duration left = Duration.between(clock.instant(), target.validUntil());
    Duration limit = left.compareTo(target.validity()) < 0 ? left : target.validity();
    if (limit.toMillis() <= 0) {
      return false;
    }
    HandshakeRunner handshake = live.connection().handshake();
    if (handshake != null) {
      boolean taken = handshake.offer(target, System.nanoTime() + limit.toNanos());
      live.connection().inbox().wake();
      return taken;
    }
    if (!reserve()) {
      return false;
    }
    Answers.ignore(
        live.connection()
            .move(target, limit)
            .whenComplete(
                (result, failure) -> {
                  unanswered.decrementAndGet();
                  answered(live.connection().inbox(), target, result, failure);
                }));
    return true;
  }

  private boolean reserve() {
    if (unanswered.incrementAndGet() <= Inbox.MAX_UNANSWERED) {
      return true;
    }
    unanswered.decrementAndGet();
    return false;
  }

  private void answered(
      Inbox inbox, Target target, @Nullable CallMethodResult result, @Nullable Throwable failure) {
    if (failure != null || result == null) {
      LOG.info("{}: target {} got no answer: {}", station, target.seq(), String.valueOf(failure));
      return;
    }
    if (clock.instant().isAfter(target.validUntil())) {
      LOG.info("{}: the answer to target {} came too late", station, target.seq());
      return;
    }
    if (!result.getStatusCode().isGood()) {
      long code = result.getStatusCode().value();
      if (code == StatusCodes.Bad_Timeout) {
        return;
      }
      String reason = "MoveAbsolute failed: " + SnapshotReader.name(result.getStatusCode());
      inbox.answer(new LinkEvent.Replied(target.seq(), false, reason));
      return;
    }
    Variant[] outputs = result.getOutputArguments();
    Object accepted = outputs == null || outputs.length == 0 ? null : outputs[0].value();
    Object reason = outputs == null || outputs.length < 2 ? null : outputs[1].value();
    if (accepted instanceof Boolean yes) {
      inbox.answer(new LinkEvent.Replied(target.seq(), yes, yes ? null : why(reason)));
    } else {
      // It may have been accepted: only a fresh look at the device tells.
      inbox.lose("MoveAbsolute does not answer with (Boolean Accepted, String Reason)");
    }
  }

  private static String why(@Nullable Object reason) {
    String text = reason instanceof String words ? words : "";
    if (text.isBlank()) {
      return "refused without a reason";
    }
    return Words.onOneLine(text, ContractReader.MAX_TEXT_CHARS);
  }

  @Override
  public void show(Prompt next) {
    prompt.set(next);
    if (state instanceof Live live) {
      live.connection().inbox().wake();
    }
  }

  @Override
  public void close() {
    synchronized (emission) {
      closing = true;
    }
    owner.interrupt();
    if (Thread.currentThread() == owner) {
      return;
    }
    try {
      owner.join(CLOSING.toMillis());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void run() {
    try {
      while (!(state instanceof Closed)) {
        state = closing ? shut(state) : step(state);
      }
    } catch (RuntimeException | Error e) {
      shut(state);
      state = new Closed();
      down("the link failed: " + e);
      LOG.error("{}: the link ended", station, e);
    }
  }

  private LinkState step(LinkState now) {
    try {
      if (now instanceof Opening opening) {
        return open(opening);
      }
      if (now instanceof Live live) {
        return serve(live);
      }
      return now instanceof Resting resting ? rest(resting) : now;
    } catch (InterruptedException e) {
      // Only closing interrupts; the loop looks.
      return now;
    }
  }

  private LinkState open(Opening opening) throws InterruptedException {
    DeviceConnection connection = null;
    boolean live = false;
    try {
      tap.text(Way.TO_DEVICE, "connect", config.endpoint(), "");
      connection = DeviceConnection.open(station, config, security, endpoints, picture, tap);
      DeviceSnapshot first = connection.read();
      long now = System.nanoTime();
      Live next = new Live(connection, first, now, now + POLL_NANOS, 0);
      live = true;
      // Live before it is said, so that whoever hears it can send.
      state = next;
      shown = null;
      showing = false;
      up(first);
      return next;
    } catch (LinkFault e) {
      endpoints.forget();
      return lost(opening.failures(), e.reason());
    } finally {
      if (connection != null && !live) {
        connection.close();
      }
    }
  }

  private LinkState serve(Live live) throws InterruptedException {
    DeviceConnection connection = live.connection();
    showPrompt(connection);
    HandshakeRunner handshake = connection.handshake();
    boolean pressing = handshake != null && handshake.isBusy();
    long untilPoll = pressing ? HANDSHAKE_POLL_NANOS : live.nextPollNanos() - System.nanoTime();
    long wait = Math.max(0, untilPoll);
    Inbox.Work work = connection.inbox().await(wait);
    work.answers().forEach(this::emit);
    if (work.lost() != null) {
      return drop(live, work.lost());
    }
    boolean poll = pressing || System.nanoTime() - live.nextPollNanos() >= 0;
    if (!work.changed() && !poll) {
      return live;
    }
    try {
      DeviceSnapshot snapshot = connection.read();
      LinkEvent.Replied reply = handshake == null ? null : handshake.goOn();
      boolean differs = !snapshot.equals(live.last());
      // What a hand-over under way reads so often, the subscription may well be late for.
      boolean told = work.changed() || pressing || !differs;
      int silent = told ? 0 : live.silentChanges() + 1;
      if (differs) {
        emit(new LinkEvent.Snapshot(snapshot));
      }
      if (reply != null && handshake != null && !clock.instant().isAfter(handshake.validUntil())) {
        emit(reply);
      }
      if (silent > MAX_SILENT_CHANGES) {
        return drop(live, config.endpoint() + " reports no changes; subscribing anew");
      }
      long nextPoll = System.nanoTime() + POLL_NANOS;
      return new Live(connection, snapshot, live.sinceNanos(), nextPoll, silent);
    } catch (LinkFault e) {
      return drop(live, e.reason());
    }
  }

  private void showPrompt(DeviceConnection connection) {
    Prompt next = prompt.get();
    if (next == null || showing || next.equals(shown)) {
      return;
    }
    shown = next;
    if (connection.showsPrompts()) {
      showing = true;
      Answers.ignore(
          connection
              .show(next)
              .whenComplete(
                  (response, failure) -> {
                    if (failure != null) {
                      LOG.debug("{}: a prompt was not shown: {}", station, failure.toString());
                      shown = null;
                    }
                    showing = false;
                    connection.inbox().wake();
                  }));
    }
  }

  private LinkState drop(Live live, String reason) {
    boolean steady = System.nanoTime() - live.sinceNanos() >= STEADY_NANOS;
    // Not live before it is said, so that nobody who hears it can still send.
    LinkState next = lost(steady ? 0 : 1, reason);
    live.connection().close();
    return next;
  }

  private LinkState lost(int failures, String reason) {
    int shift = Math.min(failures, 10);
    long rest = Math.min(FIRST_REST_NANOS << shift, LONGEST_REST_NANOS);
    Resting next = new Resting(failures + 1, System.nanoTime() + rest);
    state = next;
    tap.text(Way.FROM_DEVICE, "lost", config.endpoint(), reason);
    down(reason);
    return next;
  }

  private LinkState rest(Resting resting) throws InterruptedException {
    long left = resting.untilNanos() - System.nanoTime();
    if (left > 0) {
      TimeUnit.NANOSECONDS.sleep(left);
    }
    return new Opening(resting.failures());
  }

  private static LinkState shut(LinkState last) {
    if (last instanceof Live live) {
      // The interrupt that woke this thread must not cut the farewell short.
      boolean interrupted = Thread.interrupted();
      live.connection().close();
      if (interrupted) {
        Thread.currentThread().interrupt();
      }
    }
    return new Closed();
  }

  private void up(DeviceSnapshot snapshot) {
    LOG.info("{}: linked to {}", station, config.endpoint());
    down = false;
    lastReason = null;
    emit(new LinkEvent.Up(snapshot));
  }

  private void down(String reason) {
    if (!Objects.equals(reason, lastReason)) {
      LOG.warn("{}: {}", station, reason);
      lastReason = reason;
    }
    if (!down) {
      down = true;
      emit(new LinkEvent.Down(reason));
    }
  }

  /** Passes an event on unless the link is closed; closing waits for the one under way. */
  private void emit(LinkEvent event) {
    synchronized (emission) {
      Consumer<LinkEvent> receiver = sink;
      if (!closing && receiver != null) {
        receiver.accept(event);
      }
    }
  }
}
