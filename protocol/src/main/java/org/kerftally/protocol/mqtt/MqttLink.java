package org.kerftally.protocol.mqtt;

import java.time.Clock;
import java.time.Duration;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import java.util.random.RandomGenerator;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.tls.TlsLayer;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.Marks;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Carries targets and signals over an MQTT 5 broker.
 *
 * <p>One owner thread steps a {@link LinkMachine}; the library's callbacks and the station's calls
 * only leave something for it: an input in a bounded queue, the newest prompt, or the one target
 * that may wait. When the queue is full the session is dropped and a new one reads the retained
 * status, so that a flood costs a reconnect and never memory.
 *
 * <p>An {@code ssl://} broker is spoken to over TLS: see {@link TlsLayer}.
 *
 * <p>Events come from the owner thread, in order.
 */
public final class MqttLink implements PositionerLink {

  private static final Logger LOG = LoggerFactory.getLogger(MqttLink.class);

  /** Several seconds of the busiest device; 32 MiB when every message is as long as it may be. */
  static final int MAX_INPUTS = 512;

  private static final long CLOSE_MILLIS = 3_000;

  private final String station;
  private final MqttLinkConfig config;
  private final Length window;
  private final MqttTopics topics;
  private final BrokerAddress broker;
  private final Clock clock;
  private final LinkTap tap;
  private final RandomGenerator random = RandomGenerator.getDefault();
  private final BlockingQueue<Runnable> inputs = new ArrayBlockingQueue<>(MAX_INPUTS);
  private final AtomicInteger overflowed = new AtomicInteger();
  private final AtomicReference<@Nullable Handover> handover = new AtomicReference<>();
  private final AtomicReference<@Nullable Prompt> prompt = new AtomicReference<>();
  private final Object life = new Object();
  private volatile @Nullable LinkMachine machine;
  private volatile boolean closing;
  private @Nullable Thread owner;

  /** A target, and the stretch of being live it was meant for. */
  private record Handover(Target target, int epoch) {}

  /**
   * Makes a link that does nothing until it is started.
   *
   * @param station the station's name, for log lines
   * @param window how far from its target the stop still counts as in position
   * @param clock says whether a target is still valid
   * @throws IllegalArgumentException when the broker's address or a topic cannot be used; the text
   *     says what to write instead
   */
  public MqttLink(String station, MqttLinkConfig config, Length window, Clock clock) {
    this(station, config, window, clock, LinkTap.NONE);
  }

  /** Makes the same with somebody who listens on its wire. */
  public MqttLink(String station, MqttLinkConfig config, Length window, Clock clock, LinkTap tap) {
    this.tap = tap;
    this.station = station;
    this.config = config;
    this.window = window;
    this.topics = MqttTopics.of(config);
    this.broker = BrokerAddress.parse(config.broker());
    this.clock = clock;
  }

  @Override
  public void start(Consumer<LinkEvent> sink) {
    synchronized (life) {
      if (owner != null || closing) {
        throw new IllegalStateException("a link is started once");
      }
      Disposal disposal = new Disposal();
      PahoSession.Settings settings =
          new PahoSession.Settings(
              broker,
              "kerftally-" + String.format("%012x", random.nextLong() >>> 16),
              new BrokerLogin(config),
              broker.secured() ? new TlsLayer(config.tls()) : null,
              wholeSeconds(config.keepAlive()),
              wholeSeconds(config.timeout()),
              tap);
      WiringConfig wiring = config.wiring();
      DevicePicture picture = new DevicePicture(wiring, window, Marks.next());
      boolean isMapped = !wiring.signals().isEmpty() || !wiring.lacks().isEmpty();
      WiredTalk wired = new WiredTalk(wiring, topics.reply(), picture);
      WiredMoves moves =
          wiring.move().equals(MoveConfig.CONTRACT)
              ? null
              : new WiredMoves(
                  wiring.move(), picture, wired, config.timeout(), clock, System::nanoTime);
      LinkMachine made =
          new LinkMachine(
              station,
              broker,
              topics,
              isMapped ? wired : new ContractTalk(topics),
              moves,
              config.timeout(),
              generation ->
                  disposal.isFull()
                      ? null
                      : new PahoSession(generation, settings, this::offer, disposal),
              clock,
              System::nanoTime,
              random,
              event -> deliver(sink, event));
      machine = made;
      Thread thread = new Thread(() -> own(made, sink), "mqtt-link-" + station);
      thread.setDaemon(true);
      owner = thread;
      thread.start();
    }
  }

  private static int wholeSeconds(Duration span) {
    return (int) Math.max(1, Math.min(Short.MAX_VALUE, span.plusMillis(999).toSeconds()));
  }

  @Override
  public boolean send(Target target) {
    LinkMachine stepped = machine;
    if (stepped == null || closing) {
      return false;
    }
    int epoch = stepped.liveEpoch();
    if (epoch == 0 || !clock.instant().isBefore(target.validUntil())) {
      return false;
    }
    Handover handed = new Handover(target, epoch);
    if (!handover.compareAndSet(null, handed)) {
      return false;
    }
    wake();
    // Lost in between: taken back here, or dropped by the owner, who compares the epoch.
    return stepped.liveEpoch() == epoch || !handover.compareAndSet(handed, null);
  }

  @Override
  public void show(Prompt newest) {
    prompt.set(newest);
    wake();
  }

  @Override
  public void close() {
    Thread thread;
    synchronized (life) {
      closing = true;
      thread = owner;
    }
    wake();
    if (thread == null || thread == Thread.currentThread()) {
      return;
    }
    try {
      thread.join(CLOSE_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    if (thread.isAlive()) {
      LOG.warn("{}: the link did not end within {} ms", station, CLOSE_MILLIS);
      thread.interrupt();
    }
  }

  private void deliver(Consumer<LinkEvent> sink, LinkEvent event) {
    if (!closing) {
      sink.accept(event);
    }
  }

  private void offer(LinkInput input) {
    if (!inputs.offer(() -> step(input))) {
      overflowed.accumulateAndGet(input.generation(), Math::max);
    }
  }

  private void step(LinkInput input) {
    LinkMachine stepped = machine;
    if (stepped != null) {
      stepped.accept(input);
    }
  }

  // A full queue needs no waking: its owner is busy with it and looks at everything afterwards.
  private void wake() {
    boolean unused = inputs.offer(() -> {});
  }

  private void own(LinkMachine owned, Consumer<LinkEvent> sink) {
    try {
      while (!closing) {
        Runnable input = inputs.poll(owned.nanosToNextDeadline(), TimeUnit.NANOSECONDS);
        if (input != null) {
          input.run();
        }
        doWork(owned);
      }
    } catch (InterruptedException e) {
      LOG.debug("{}: the link was interrupted", station);
    } catch (RuntimeException e) {
      deliver(sink, new LinkEvent.Down("the link failed by a fault of its own: " + e));
      throw e;
    } finally {
      owned.close();
    }
  }

  private void doWork(LinkMachine owned) {
    int flooded = overflowed.getAndSet(0);
    if (flooded != 0 && flooded == owned.generation()) {
      inputs.clear();
      owned.lose("messages came faster than they could be taken");
    }
    Prompt newest = prompt.getAndSet(null);
    if (newest != null) {
      owned.show(newest);
    }
    Handover handed = handover.getAndSet(null);
    if (handed != null && handed.epoch() == owned.liveEpoch()) {
      owned.send(handed.target());
    }
    owned.tick();
  }
}
