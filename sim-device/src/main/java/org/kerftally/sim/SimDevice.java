package org.kerftally.sim;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
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

  /** How many requests may wait; a caller beyond it is told the device is busy. */
  private static final int QUEUE_LIMIT = 1024;

  /** How often a moving stop's position is published, in real time. */
  private static final long MOVING_TICK_NANOS = 20_000_000;

  /** The longest sleep, so that a clock that jumps is noticed. */
  private static final long IDLE_TICK_NANOS = 1_000_000_000;

  /** How long a caller waits for an answer before it withdraws the request. */
  private static final long ANSWER_TIMEOUT_MILLIS = 3_000;

  /** The operator's patience is at least this in real time, whatever the speed. */
  private static final Duration LEAST_PATIENCE = Duration.ofSeconds(15);

  private static final long CLOSE_TIMEOUT_MILLIS = 5_000;

  private final SimConfig config;
  private final Machine machine;
  private final BlockingQueue<Runnable> requests = new ArrayBlockingQueue<>(QUEUE_LIMIT);
  private final List<Runnable> changeListeners = new CopyOnWriteArrayList<>();
  private final List<Consumer<LastCut>> cutListeners = new CopyOnWriteArrayList<>();
  private final List<Consumer<Boolean>> powerListeners = new CopyOnWriteArrayList<>();
  private final List<LastCut> unreported = new ArrayList<>();
  private final CompletableFuture<Throwable> failure = new CompletableFuture<>();
  private final @Nullable Truth truth;
  private final Thread thread;

  private long lastRealNanos = System.nanoTime();

  private volatile DeviceSnapshot snapshot;
  private volatile boolean powered = true;
  private volatile @Nullable Length targetPosition;
  private volatile boolean closed;

  private SimDevice(SimConfig given, Clock clock) {
    long patienceNanos = Math.round(LEAST_PATIENCE.toNanos() * given.speed());
    Duration patience = Duration.ofNanos(patienceNanos);
    OperatorModel model = given.operator();
    this.config =
        model.patience().compareTo(patience) < 0
            ? given.withOperator(model.withPatience(patience))
            : given;
    Path truthFile = config.truth();
    this.truth = truthFile == null ? null : Truth.open(truthFile);
    SplittableRandom random = new SplittableRandom(config.seed());
    this.machine =
        new Machine(
            config,
            random,
            bootIds(config.seed(), clock),
            nanos -> clock.instant(),
            this::record,
            NonVolatile.EMPTY,
            List.of());
    this.snapshot = machine.snapshot();
    this.thread = new Thread(this::run, "sim-device-" + config.station());
    this.thread.setDaemon(true);
  }

  /**
   * Powers a device up.
   *
   * @throws IllegalArgumentException when the script or the memory does not read, with file and
   *     line
   * @throws java.io.UncheckedIOException when a file cannot be opened
   */
  public static SimDevice open(SimConfig config) {
    return open(config, Clock.systemUTC());
  }

  /** Powers a device up that reads wall-clock time from {@code clock}. */
  public static SimDevice open(SimConfig config, Clock clock) {
    SimDevice device = new SimDevice(config, clock);
    device.thread.start();
    return device;
  }

  private static Supplier<String> bootIds(long seed, Clock clock) {
    SplittableRandom random = new SplittableRandom(seed ^ clock.instant().toEpochMilli() << 20);
    return () -> String.format("%016x", random.nextLong());
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
    ask(
        () -> {
          machine.act(action);
          return true;
        },
        false);
  }

  /** Takes the power away and gives it back after {@link Action#POWER_OFF}. */
  public void powerCycle() {
    act(Action.of(Action.Kind.POWER_CYCLE));
  }

  /** Calls {@code listener} after every change of the snapshot. */
  public void onChange(Runnable listener) {
    changeListeners.add(listener);
  }

  /** Calls {@code listener} with every counted cut, after the snapshot shows it. */
  public void onCut(Consumer<LastCut> listener) {
    cutListeners.add(listener);
  }

  /** Calls {@code listener} with false when the power goes and with true when it comes back. */
  public void onPower(Consumer<Boolean> listener) {
    powerListeners.add(listener);
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
    boolean woken = requests.offer(() -> {});
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
    CompletableFuture<T> answer = new CompletableFuture<>();
    boolean taken =
        !closed
            && requests.offer(
                () -> {
                  if (!answer.isDone()) {
                    answer.complete(request.get());
                  }
                });
    if (!taken) {
      return otherwise;
    }
    try {
      return answer.get(ANSWER_TIMEOUT_MILLIS, TimeUnit.MILLISECONDS);
    } catch (TimeoutException e) {
      return answer.complete(otherwise) ? otherwise : answer.join();
    } catch (ExecutionException e) {
      throw new IllegalStateException(e.getCause());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return answer.complete(otherwise) ? otherwise : answer.join();
    }
  }

  private void tell(Runnable request) {
    ask(
        () -> {
          request.run();
          return true;
        },
        false);
  }

  private void record(LastCut cut) {
    if (truth != null) {
      truth.append(cut);
    }
    unreported.add(cut);
  }

  private void run() {
    try {
      while (!closed) {
        step();
        Runnable request = requests.poll(waitNanos(), TimeUnit.NANOSECONDS);
        if (request != null) {
          step();
          request.run();
          publish();
        }
      }
    } catch (InterruptedException e) {
      log.debug("interrupted", e);
    } catch (RuntimeException e) {
      failure.complete(e);
    } finally {
      closed = true;
      if (truth != null) {
        truth.close();
      }
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
    snapshot = now;
    for (LastCut cut : unreported) {
      cutListeners.forEach(listener -> guarded(() -> listener.accept(cut)));
    }
    unreported.clear();
    if (changed) {
      changeListeners.forEach(this::guarded);
    }
    boolean on = machine.isPowered();
    if (on != powered) {
      powered = on;
      powerListeners.forEach(listener -> guarded(() -> listener.accept(on)));
    }
  }

  private void guarded(Runnable listener) {
    try {
      listener.run();
    } catch (RuntimeException e) {
      log.warn("a listener of the simulated device failed", e);
    }
  }
}
