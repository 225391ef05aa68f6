package org.kerftally.sim.mqtt;

import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.sim.Answer;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Serves a simulated device over an MQTT 5 broker, as a controller that speaks the device contract
 * does.
 *
 * <p>What it publishes. {@code status} is retained and holds every signal; it follows each change,
 * at most every 10 ms, and at once after a cut. {@code cut}, {@code fault} and {@code operator}
 * tell single happenings; they may get lost with a connection, and lose nothing, because the status
 * holds the last cut, the fault and the totals. On every connect the status goes out first, then
 * {@code online = true}, then the status again: so a retained {@code true} never stands beside a
 * status of an earlier presence, and whoever waits for a status after {@code true} gets one.
 *
 * <p>The last will says {@code online = false}. The will of a connection that died unnoticed may be
 * published after the device is back: the device listens on its own topic and says {@code true}
 * again.
 *
 * <p>Targets that come late are refused, and what bounds them is this. The broker throws a target
 * away when its message expiry (the validity, in whole seconds) is over, by the broker's own clock.
 * The device then refuses one that is past its {@code valid_until} by more than {@link
 * #CLOCK_ALLOWANCE}: the clocks of the two sides may differ by that much, and a site whose clocks
 * differ by more sees every target refused with a reason that says so, rather than a stop that
 * moves late. Last, a target that waited in the device for longer than its validity is refused by
 * the device's monotonic clock. A retained target is never carried out.
 *
 * <p>Threading: one thread owns the connection; the device's listeners and the library's callbacks
 * only leave something for it in a bounded queue. When that is full the connection is reset and
 * everything is published anew.
 */
public final class MqttDevice implements DeviceServer {

  /** How much the clocks of the two sides may differ. */
  public static final Duration CLOCK_ALLOWANCE = Duration.ofMillis(500);

  private static final Logger LOG = LoggerFactory.getLogger(MqttDevice.class);

  private static final int MAX_QUEUED = 256;
  private static final long COALESCE_NANOS = TimeUnit.MILLISECONDS.toNanos(10);
  private static final long IDLE_NANOS = TimeUnit.SECONDS.toNanos(1);
  private static final long LEAST_BACKOFF_MILLIS = 200;
  private static final long MOST_BACKOFF_MILLIS = 5_000;
  private static final long CLOSE_MILLIS = 6_000;

  private final SimDevice device;
  private final BrokerAccess broker;
  private final String prefix;
  private final Clock clock;
  private final SplittableRandom random = new SplittableRandom();
  private final BlockingQueue<Task> tasks = new ArrayBlockingQueue<>(MAX_QUEUED);
  private final AtomicBoolean dirty = new AtomicBoolean();
  private final AtomicBoolean broken = new AtomicBoolean();
  private final Thread owner;
  private volatile boolean closing;
  private volatile @Nullable BrokerConnection connection;
  private DeviceSnapshot told;
  private long publishedNanos;
  private long retryNanos = System.nanoTime();
  private long backoffMillis = LEAST_BACKOFF_MILLIS;

  /** Something the owner does while it is connected. */
  private interface Task {
    void run(BrokerConnection on) throws MqttException;
  }

  /**
   * Starts to serve the device, and returns at once; connecting is tried until it is closed.
   *
   * @param broker {@code tcp://host:port}
   * @param prefix what stands before every topic, with its closing slash
   */
  public MqttDevice(SimDevice device, String broker, String prefix) {
    this(device, BrokerAccess.open(broker), prefix);
  }

  /** Starts to serve the device over a broker that has to be convinced. */
  public MqttDevice(SimDevice device, BrokerAccess broker, String prefix) {
    this(device, broker, prefix, Clock.systemUTC());
  }

  /** Starts to serve a device that judges the age of targets by the given clock. */
  public MqttDevice(SimDevice device, String broker, String prefix, Clock clock) {
    this(device, BrokerAccess.open(broker), prefix, clock);
  }

  private MqttDevice(SimDevice device, BrokerAccess broker, String prefix, Clock clock) {
    this.device = device;
    this.broker = broker;
    this.prefix = prefix;
    this.clock = clock;
    this.told = device.snapshot();
    this.owner = new Thread(this::own, "sim-mqtt-" + device.config().station());
    owner.setDaemon(true);
    device.onCut(this::cutMade);
    device.onChange(this::changed);
    device.onPower(this::power);
    owner.start();
  }

  @Override
  public String address() {
    return broker.url() + " " + prefix;
  }

  @Override
  public void close() {
    closing = true;
    wake();
    if (Thread.currentThread() == owner) {
      return;
    }
    try {
      owner.join(CLOSE_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void changed() {
    if (!dirty.getAndSet(true)) {
      wake();
    }
  }

  // Off and on again between two looks of the owner still breaks the connection.
  private void power(boolean on) {
    if (!on) {
      broken.set(true);
    }
    wake();
  }

  private boolean isAlive() {
    return device.isPowered() && !device.failure().isDone();
  }

  private void cutMade(LastCut cut) {
    offer(
        on -> {
          on.publish(prefix + "cut", DeviceJson.cut(cut), false);
          publishStatus(on);
        });
  }

  private void wake() {
    // A full queue needs no waking.
    boolean unused = tasks.offer(on -> {});
  }

  private void offer(Task task) {
    if (!closing && !tasks.offer(task)) {
      broken.set(true);
    }
  }

  private void received(BrokerConnection.Incoming message) {
    offer(on -> handle(on, message));
  }

  private void own() {
    while (!closing) {
      try {
        step();
      } catch (MqttException e) {
        lose("the broker connection failed: " + e.getMessage());
      } catch (InterruptedException e) {
        break;
      } catch (RuntimeException e) {
        LOG.error("serving the device over MQTT failed", e);
        lose("a fault of its own");
      }
    }
    BrokerConnection on = connection;
    connection = null;
    if (on != null) {
      try {
        on.publish(prefix + "online", bytes("false"), true);
      } catch (MqttException e) {
        LOG.debug("could not say goodbye: {}", e.getMessage());
      }
      on.goodbye();
    }
  }

  private void step() throws MqttException, InterruptedException {
    Task task = tasks.poll(waitNanos(), TimeUnit.NANOSECONDS);
    if (broken.getAndSet(false) && connection != null) {
      lose("the connection broke or could not be followed");
    }
    if (!isAlive() && connection != null) {
      lose("the power is off");
      retryNanos = System.nanoTime();
    }
    BrokerConnection on = connection;
    if (on == null) {
      if (!closing && isAlive() && System.nanoTime() - retryNanos >= 0) {
        connect();
      }
      return;
    }
    if (task != null) {
      task.run(on);
    }
    if (dirty.get() && System.nanoTime() - publishedNanos >= COALESCE_NANOS) {
      publishStatus(on);
    }
  }

  private long waitNanos() {
    long now = System.nanoTime();
    if (connection == null) {
      return isAlive() ? Math.max(0, retryNanos - now) : IDLE_NANOS;
    }
    return dirty.get() ? Math.max(0, publishedNanos + COALESCE_NANOS - now) : IDLE_NANOS;
  }

  private void connect() throws MqttException {
    BrokerConnection made = new BrokerConnection(broker, random, this::received, this::broke);
    connection = made;
    made.connect(prefix + "online");
    tasks.clear();
    broken.set(false);
    made.subscribe(List.of(prefix + "target", prefix + "prompt"));
    publishStatus(made);
    sayOnline(made);
    made.subscribe(List.of(prefix + "online"));
    backoffMillis = LEAST_BACKOFF_MILLIS;
    LOG.info("serving the device at {}", address());
  }

  private void broke(BrokerConnection from) {
    if (from == connection) {
      broken.set(true);
      wake();
    }
  }

  private void lose(String reason) {
    BrokerConnection on = connection;
    connection = null;
    if (on != null) {
      on.reset();
    }
    tasks.clear();
    LOG.debug("{}: {}; next try in {} ms", address(), reason, backoffMillis);
    retryNanos = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(backoffMillis);
    backoffMillis = Math.min(MOST_BACKOFF_MILLIS, 2 * backoffMillis);
  }

  private void sayOnline(BrokerConnection on) throws MqttException {
    on.publish(prefix + "online", bytes("true"), true);
    on.publish(prefix + "status", DeviceJson.status(told), true);
  }

  private void publishStatus(BrokerConnection on) throws MqttException {
    dirty.set(false);
    DeviceSnapshot before = told;
    DeviceSnapshot now = device.snapshot();
    told = now;
    publishedNanos = System.nanoTime();
    on.publish(prefix + "status", DeviceJson.status(now), true);
    publishFault(on, before, now);
    for (byte[] press : PanelPresses.between(before, now, clock.instant())) {
      on.publish(prefix + "operator", press, false);
    }
  }

  private void publishFault(BrokerConnection on, DeviceSnapshot before, DeviceSnapshot now)
      throws MqttException {
    if (before.faultCode() == now.faultCode()) {
      return;
    }
    Instant at = clock.instant();
    if (before.faultCode() != 0) {
      on.publish(
          prefix + "fault",
          DeviceJson.fault(before.faultCode(), before.faultText(), false, at),
          false);
    }
    if (now.faultCode() != 0) {
      on.publish(
          prefix + "fault", DeviceJson.fault(now.faultCode(), now.faultText(), true, at), false);
    }
  }

  private void handle(BrokerConnection on, BrokerConnection.Incoming message) throws MqttException {
    if (message.from() != on) {
      return;
    }
    try {
      if (message.topic().equals(prefix + "target")) {
        target(on, message);
      } else if (message.topic().equals(prefix + "prompt")) {
        device.show(DeviceJson.prompt(message.payload()));
      } else if (message.topic().equals(prefix + "online")) {
        if (!"true".equals(new String(message.payload(), StandardCharsets.UTF_8))) {
          sayOnline(on);
        }
      }
    } catch (IllegalArgumentException e) {
      LOG.warn("a message on {} was dropped: {}", message.topic(), e.getMessage());
    }
  }

  private void target(BrokerConnection on, BrokerConnection.Incoming message) throws MqttException {
    DeviceJson.Command command = DeviceJson.command(message.payload());
    String refusal = lateness(command, message);
    if (refusal == null) {
      Answer answer = device.moveAbsolute(command.position(), command.seq());
      refusal = answer instanceof Answer.Refused refused ? refused.reason() : null;
    }
    on.publish(prefix + "reply", DeviceJson.reply(command.seq(), refusal), false);
  }

  private @Nullable String lateness(DeviceJson.Command command, BrokerConnection.Incoming message) {
    if (message.retained()) {
      return "a retained target is never carried out";
    }
    if (command.boot() != null && !command.boot().equals(device.snapshot().boot())) {
      return "the target was meant for another power-up";
    }
    Duration waited = Duration.ofNanos(System.nanoTime() - message.arrivedNanos());
    Long left = message.expirySeconds();
    if (waited.toMillis() >= command.validityMillis()
        || (left != null && waited.compareTo(Duration.ofSeconds(left)) > 0)) {
      return "the target waited too long at the device";
    }
    Instant until = command.validUntil();
    if (until != null && !clock.instant().isBefore(until.plus(CLOCK_ALLOWANCE))) {
      return "the target came after its validity, or the clocks of the two sides differ";
    }
    return null;
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
