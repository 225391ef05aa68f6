package org.kerftally.protocol.mqtt;

import java.time.Clock;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;
import java.util.random.RandomGenerator;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.tls.TlsLayer;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.probe.ProbeException;
import org.kerftally.protocol.probe.RoundTrip;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.shared.length.Length;

/** Looks at a device over an MQTT broker: subscribes, listens, and publishes nothing. */
public final class MqttProbe implements SignalProbe {

  private static final int MAX_INPUTS = 512;

  private final MqttLinkConfig config;
  private final HeardPoints heard;
  private final BlockingQueue<LinkInput> inputs = new ArrayBlockingQueue<>(MAX_INPUTS);
  private final BrokerSession session;

  private MqttProbe(MqttLinkConfig config, Length window, Clock clock) {
    this.config = config;
    this.heard = new HeardPoints(config, window, clock);
    BrokerAddress broker = BrokerAddress.parse(config.broker());
    long id = RandomGenerator.getDefault().nextLong() >>> 16;
    PahoSession.Settings settings =
        new PahoSession.Settings(
            broker,
            "kerftally-" + String.format("%012x", id),
            new BrokerLogin(config),
            broker.secured() ? new TlsLayer(config.tls()) : null,
            (int) Math.max(1, config.keepAlive().toSeconds()),
            (int) Math.max(1, config.timeout().toSeconds()),
            LinkTap.NONE);
    // One that finds no room is missed, as a message that was never sent would be.
    this.session = new PahoSession(1, settings, inputs::offer, new Disposal());
  }

  /**
   * Connects, subscribes, and waits a short while for what the broker has kept.
   *
   * @param window how far from its target the stop still counts as in position
   * @throws ProbeException when the broker cannot be spoken to
   */
  public static MqttProbe open(MqttLinkConfig config, Length window, Clock clock)
      throws ProbeException, InterruptedException {
    MqttProbe probe;
    try {
      probe = new MqttProbe(config, window, clock);
    } catch (IllegalArgumentException e) {
      throw new ProbeException(String.valueOf(e.getMessage()), e);
    }
    boolean open = false;
    try {
      probe.begin();
      open = true;
      return probe;
    } finally {
      if (!open) {
        probe.session.abandon();
      }
    }
  }

  private void begin() throws ProbeException, InterruptedException {
    session.connect();
    if (!take(config.timeout(), LinkInput.Connected.class::isInstance)) {
      throw late("took no connection");
    }
    subscribe(heard.topics());
    long until = System.nanoTime() + config.timeout().toNanos();
    while (!heard.isWhole() && System.nanoTime() - until < 0) {
      boolean unused = take(Duration.ofNanos(until - System.nanoTime()), input -> true);
    }
  }

  private ProbeException late(String what) {
    return new ProbeException(
        "broker "
            + config.broker()
            + ": "
            + what
            + " within "
            + config.timeout().toMillis()
            + " ms; check address and port");
  }

  private void subscribe(List<String> topics) throws ProbeException, InterruptedException {
    session.subscribe(topics);
    if (!take(config.timeout(), LinkInput.Subscribed.class::isInstance)) {
      throw late("granted no subscription");
    }
  }

  /** Takes what comes in until the wanted came or the time is over. */
  private boolean take(Duration most, Predicate<LinkInput> wanted)
      throws ProbeException, InterruptedException {
    long until = System.nanoTime() + most.toNanos();
    do {
      LinkInput input = inputs.poll(Math.max(0, until - System.nanoTime()), TimeUnit.NANOSECONDS);
      if (input instanceof LinkInput.Lost lost) {
        // What the broker or its certificate is refused for, or refuses, comes with its mend.
        boolean isMended = lost.reason().contains("; ");
        throw new ProbeException(
            isMended
                ? lost.reason()
                : lost.reason() + "; check address and port, and that the broker runs");
      }
      if (input instanceof LinkInput.Arrived message) {
        heard.hear(message);
      }
      if (input != null && wanted.test(input)) {
        return true;
      }
    } while (System.nanoTime() - until < 0);
    return false;
  }

  @Override
  public List<SignalReading> read() {
    return heard.read();
  }

  @Override
  public List<String> faults() {
    return heard.faults();
  }

  @Override
  public void watch() {
    heard.watch();
  }

  @Override
  public void await(Duration most) throws ProbeException, InterruptedException {
    boolean unused = take(most, LinkInput.Arrived.class::isInstance);
  }

  /** Times the broker, by subscriptions to a topic that is subscribed to: no message is sent. */
  @Override
  public @Nullable RoundTrip roundTrip(int times) throws ProbeException, InterruptedException {
    List<String> topics = heard.topics();
    if (topics.isEmpty()) {
      return null;
    }
    long[] nanos = new long[times];
    for (int i = 0; i < times; i++) {
      long from = System.nanoTime();
      subscribe(topics.subList(0, 1));
      nanos[i] = System.nanoTime() - from;
    }
    return RoundTrip.of(
        times
            + " acknowledgements of the broker; how long the device takes cannot be measured"
            + " without a command",
        nanos);
  }

  @Override
  public void close() {
    session.leave();
  }
}
