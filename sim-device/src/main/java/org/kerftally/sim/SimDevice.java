package org.kerftally.sim;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.concurrent.CompletableFuture;
import java.util.function.Consumer;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Runs a {@link Machine} against real time and lets other threads see and use it.
 *
 * <p>One thread owns the machine. Everything else asks it through a bounded queue, and reads the
 * last published {@link DeviceSnapshot}. The thread steps the machine from one due moment to the
 * next and publishes after each, so that no state is skipped, however fast the simulation runs:
 * when the host is late, simulated time waits for it. A pause of the host thus makes the machine
 * slow and never makes an operator do three things between two looks.
 *
 * <p>Order of a cut: the truth line is on disk, then the memory, then count and last cut show in
 * {@link #snapshot()}, then the listeners hear of it. If the disk refuses, the device stops for
 * good ({@link #failure()}) with the cut unreported.
 *
 * <p>Threading: every public method may be called from any thread. Listeners are called on the
 * device's thread, in order, and must only hand over. A listener that throws is logged and kept.
 */
public final class SimDevice implements AutoCloseable {
  private static final Logger log = LoggerFactory.getLogger(SimDevice.class);

  /** How often a moving stop's position is published, in real time. */
  private static final long MOVING_TICK_NANOS = 20_000_000;

  /** The longest sleep, so that a clock that jumps is noticed. */
  private static final long IDLE_TICK_NANOS = 1_000_000_000;

  /** The operator's patience is at least this in real time, whatever the speed. */
  private static final Duration LEAST_PATIENCE = Duration.ofSeconds(15);

  /**
   * The operator looks up at least this long in real time after a rejection, so that however fast
   * the simulation runs, the other side has taken the rejection before there is a next piece.
   */
  private static final Duration LEAST_LOOK_UP = Duration.ofMillis(250);

  private static final long CLOSE_TIMEOUT_MILLIS = 5_000;

  private final SimConfig config;
  private final Machine machine;
  private final Records records;
  private final Requests requests = new Requests();
  private final Listeners listeners = new Listeners();
  private final CompletableFuture<Throwable> failure = new CompletableFuture<>();
  private final Thread thread;

  private long lastRealNanos = System.nanoTime();

  private volatile DeviceSnapshot snapshot;
  private volatile boolean powered = true;
  private volatile @Nullable Length targetPosition;
  private volatile boolean closed;

  private SimDevice(SimConfig config, List<TimedAction> script, Records records, Clock clock) {
    this.config = config;
    this.records = records;
    this.machine =
        new Machine(
            config,
            new SplittableRandom(config.seed()),
            bootIds(config.seed(), clock),
            nanos -> clock.instant(),
            records,
            records.remembered(),
            script);
    this.snapshot = machine.snapshot();
    this.thread = new Thread(this::run, "sim-device-" + config.station());
    this.thread.setDaemon(true);
  }

  /**
   * Powers a device up.
   *
   * @throws SimInputException when a file of the configuration does not read, with every problem
   * @throws java.io.UncheckedIOException when one cannot be opened
   */
  public static SimDevice open(SimConfig config) {
    return open(config, Clock.systemUTC());
  }

  /** Powers a device up that reads wall-clock time from {@code clock}. */
  public static SimDevice open(SimConfig config, Clock clock) {
    Path file = config.script();
    List<TimedAction> script = file == null ? List.of() : Script.read(file);
    Records records = new Records(config.truth(), config.memory(), config.moves());
    try {
      SimDevice device = new SimDevice(patient(config), script, records, clock);
      device.thread.start();
      return device;
    } catch (RuntimeException e) {
      records.close();
      throw e;
    }
  }

  private static SimConfig patient(SimConfig config) {
    return config.withOperator(
        config
            .operator()
            .waitingAtLeast(
                simulated(LEAST_PATIENCE, config.speed()),
                simulated(LEAST_LOOK_UP, config.speed())));
  }

  private static Duration simulated(Duration real, double speed) {
    return Duration.ofNanos(Math.round(real.toNanos() * speed));
  }

  /** Gives ids that no two starts share: the seed and the moment of the start make them. */
  private static Supplier<String> bootIds(long seed, Clock clock) {
    Instant start = clock.instant();
    long nonce = start.getEpochSecond() * 1_000_000_000L + start.getNano();
    SplittableRandom random = new SplittableRandom(new SplittableRandom(seed).nextLong() ^ nonce);
    return () -> String.format(Locale.ROOT, "%016x", random.nextLong());
  }

  /** Returns what the device was made from. */
  public SimConfig config() {
    return config;
  }

  /** Returns every signal as last published; consistent in itself, at most a tick old. */
  public DeviceSnapshot snapshot() {
    return snapshot;
  }

  /** Returns the position of the target the device holds, {@code null} for none. */
  public @Nullable Length targetPosition() {
    return targetPosition;
  }

  /** Tells whether the machine has power. Without it a server must not answer. */
  public boolean isPowered() {
    return powered;
  }

  /**
   * Takes or refuses a target, at once.
   *
   * <p>Refused unless homed, enabled, remote allowed, the saw idle, no fault, the position within
   * the travel and the sequence number above every one accepted since power-up. The active target's
   * own position and number are accepted again and move nothing; that number with another position,
   * or after its move was halted, is refused.
   */
  public Answer moveAbsolute(Length position, long seq) {
    return ask(
        () -> machine.moveAbsolute(position, seq), Answer.refused("the device does not answer"));
  }

  /** Shows the operator a prompt; the newest wins. */
  public void show(Prompt prompt) {
    tell(() -> machine.show(prompt));
  }

  /** Presses a button without a value. */
  public void press(Button button) {
    press(button, null);
  }

  /** Presses a button; {@code value} is the stick's measured or the defect's sound length. */
  public void press(Button button, @Nullable Length value) {
    tell(() -> machine.press(button, value));
  }

  /** Starts a saw cycle as a person does; tells whether the saw took it. */
  public boolean stroke() {
    return ask(machine::stroke, false);
  }

  /** Raises a fault; {@link Action.Kind} names what ends it. A guard sticks in the next cycle. */
  public void inject(DeviceFault fault) {
    act(
        Action.of(
            switch (fault) {
              case EMERGENCY_STOP -> Action.Kind.ESTOP;
              case FOLLOWING_ERROR -> Action.Kind.FOLLOWING_ERROR;
              case HOMING_LOST -> Action.Kind.HOMING_LOST;
              case LOW_AIR -> Action.Kind.LOW_AIR;
              case GUARD_NOT_CLOSED -> Action.Kind.GUARD_STUCK;
              case BLADE_DOOR_OPEN -> Action.Kind.DOOR_OPEN;
              case DRIVE_FAULT -> Action.Kind.DRIVE_FAULT;
            }));
  }

  /** Does something to the machine. Returns when it is done or the device is closed. */
  public void act(Action action) {
    tell(() -> machine.act(action));
  }

  /** Takes the power away and gives it back after {@link Action#POWER_OFF}. */
  public void powerCycle() {
    act(Action.of(Action.Kind.POWER_CYCLE));
  }

  /** Calls {@code listener} after every change of the snapshot. */
  public void onChange(Runnable listener) {
    listeners.onChange(listener);
  }

  /** Calls {@code listener} with every counted cut, after the snapshot shows it. */
  public void onCut(Consumer<LastCut> listener) {
    listeners.onCut(listener);
  }

  /** Calls {@code listener} with false when the power goes and with true when it comes back. */
  public void onPower(Consumer<Boolean> listener) {
    listeners.onPower(listener);
  }

  /** Completes with the reason if the device stops for good by itself. */
  public CompletableFuture<Throwable> failure() {
    return failure;
  }

  /** Stops the device's thread and closes its files; waits a bounded time. */
  @Override
  public void close() {
    closed = true;
    // Never an interrupt: it would close the truth file under a line that is being written.
    boolean woken = requests.wake();
    log.debug("closing, {}", woken ? "woken" : "busy");
    if (Thread.currentThread() == thread) {
      return;
    }
    try {
      thread.join(CLOSE_TIMEOUT_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private <T> T ask(Supplier<T> request, T otherwise) {
    if (Thread.currentThread() == thread) {
      throw new IllegalStateException("a listener must hand over, not call the device");
    }
    if (closed) {
      return otherwise;
    }
    // Published before it is answered, so that who has the answer sees what came of it.
    return requests.ask(
        () -> {
          T answer = request.get();
          publish();
          return answer;
        },
        otherwise);
  }

  private void tell(Runnable request) {
    ask(
        () -> {
          request.run();
          return true;
        },
        false);
  }

  private void run() {
    try {
      while (!closed) {
        step();
        Runnable request = requests.poll(waitNanos());
        if (request != null) {
          step();
          request.run();
        }
      }
    } catch (InterruptedException e) {
      log.debug("interrupted", e);
    } catch (RuntimeException e) {
      failure.complete(e);
    } finally {
      closed = true;
      records.close();
    }
  }

  /** Lets the machine catch up with real time, as far as the next due moment and no further. */
  private void step() {
    long real = System.nanoTime();
    long passed = Math.round((real - lastRealNanos) * config.speed());
    lastRealNanos = real;
    machine.advance(Math.min(machine.nowNanos() + passed, machine.nextNanos()));
    publish();
  }

  private long waitNanos() {
    long next = machine.nextNanos();
    long limit = machine.isMoving() ? MOVING_TICK_NANOS : IDLE_TICK_NANOS;
    if (next == Long.MAX_VALUE) {
      return limit;
    }
    double left = (next - machine.nowNanos()) / config.speed();
    return Math.max(0, Math.min(limit, (long) Math.ceil(left)));
  }

  private void publish() {
    DeviceSnapshot now = machine.snapshot();
    targetPosition = machine.target();
    boolean changed = !now.equals(snapshot);
    boolean switched = machine.isPowered() != powered;
    snapshot = now;
    powered = machine.isPowered();
    for (LastCut cut = records.takeUntold(); cut != null; cut = records.takeUntold()) {
      listeners.cut(cut);
    }
    if (changed) {
      listeners.changed();
    }
    if (switched) {
      listeners.power(powered);
    }
  }
}
