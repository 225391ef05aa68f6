package org.kerftally.daemon.service;

import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.CutLogException;
import org.kerftally.daemon.cutlog.EventLog;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.JobRun;
import org.kerftally.daemon.station.Now;
import org.kerftally.daemon.station.Senses;
import org.kerftally.daemon.station.StationCore;
import org.kerftally.daemon.station.StationEffect;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationModes;
import org.kerftally.daemon.station.StationState;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.length.Length;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Owns one station: one thread that takes an input, decides, writes, then acts.
 *
 * <p>The order is the whole point: an effect leaves the process only after the events of the same
 * decision are on disk. When the log cannot be written (disk full, file locked) the decision is
 * thrown away, nothing is sent, and the same input is decided on again after a pause, until the log
 * takes it; meanwhile the trouble is shown. Since a snapshot carries the device's totals, nothing
 * that happens meanwhile is lost.
 */
public final class StationOwner implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(StationOwner.class);
  private static final long TICK_MILLIS = 200;
  private static final long RETRY_MILLIS = 1_000;
  private static final long STOP_MILLIS = 10_000;

  /** Everything an owner works with. */
  public record Tools(
      EventLog log,
      PositionerLink link,
      PlanDesk plans,
      Clock clock,
      LongSupplier nanos,
      DecisionWitness witness) {

    /** Works without a witness. */
    public Tools(
        EventLog log, PositionerLink link, PlanDesk plans, Clock clock, LongSupplier nanos) {
      this(log, link, plans, clock, nanos, DecisionWitness.NONE);
    }
  }

  private final StationSetup setup;
  private final Decider core;
  private final Tools tools;
  private final Mailbox mailbox = new Mailbox();
  private final Thread thread;
  private StationState state;
  private Senses senses = Senses.NONE;
  private StationMode mode = StationMode.STOPPED;
  private Instant modeSince;
  private @Nullable String trouble;
  private @Nullable StationInput undecided;
  private volatile boolean ending;
  private volatile StationView view;
  private final Consumer<Throwable> onDeath;

  /** Decides for a station; the real one is {@link StationCore#decide}. */
  interface Decider {
    Decision decide(StationState state, Senses senses, StationInput input, Now now);
  }

  /**
   * Creates the owner of a station, at rest.
   *
   * @param setup the station
   * @param replayed its state as folded from the log
   * @param tools what it works with; the link is closed with the owner
   * @param onDeath is told, by the owner's thread, of what ended it unasked
   */
  public StationOwner(
      StationSetup setup, StationState replayed, Tools tools, Consumer<Throwable> onDeath) {
    this(setup, replayed, tools, onDeath, new StationCore(setup.rules())::decide);
  }

  StationOwner(
      StationSetup setup,
      StationState replayed,
      Tools tools,
      Consumer<Throwable> onDeath,
      Decider core) {
    this.onDeath = onDeath;
    this.setup = setup;
    this.core = core;
    this.state = replayed;
    this.tools = tools;
    this.modeSince = tools.clock().instant();
    this.view = look();
    this.thread = new Thread(this::work, "kerftally-" + setup.name());
  }

  /** Returns the station's name. */
  public String name() {
    return setup.name();
  }

  /** Returns the station's setup. */
  public StationSetup setup() {
    return setup;
  }

  /** Returns the station as it is now; any thread may ask. */
  public StationView view() {
    return view;
  }

  /** Returns the state as folded so far; for the thread that steps the owner. */
  StationState state() {
    return state;
  }

  /** Tells whether something waits to be decided on; for the thread that steps the owner. */
  boolean hasWork() {
    return undecided != null || mailbox.size() > 0;
  }

  /** Puts an input in the mailbox; any thread may, and it never waits. */
  public void put(StationInput input) {
    mailbox.put(input);
  }

  /** Starts to drive the station. */
  public void start(String version) {
    begin(version);
    thread.start();
    listen();
  }

  /** Puts the first input in, without a thread; for a test that steps the owner itself. */
  void begin(String version) {
    put(new StationInput.Begin(version));
  }

  /** Lets the link connect and tell. */
  void listen() {
    tools.link().start(event -> put(new StationInput.FromLink(event)));
  }

  private void work() {
    try {
      while (!ending || mailbox.size() > 0) {
        if (!step(TICK_MILLIS)) {
          TimeUnit.MILLISECONDS.sleep(RETRY_MILLIS);
          undecided = ending ? null : undecided;
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (RuntimeException | Error e) {
      trouble = "stopped by a fault of Kerftally's own: " + e;
      view = look();
      LOG.error("station {} stopped", name(), e);
      onDeath.accept(e);
    }
  }

  /**
   * Takes one input, waiting for it at most so long, decides, writes, then acts. For the owner's
   * thread, or for a test in its place.
   *
   * @return whether the log took it; if not, the same input is decided on in the next step
   */
  boolean step(long waitMillis) throws InterruptedException {
    StationInput input = undecided == null ? mailbox.take(waitMillis) : undecided;
    if (input == null) {
      input = new StationInput.Tick();
    }
    Now now = new Now(tools.clock().instant(), tools.nanos().getAsLong());
    DecisionWitness.Question question = new DecisionWitness.Question(state, senses, input, now);
    Decision decision = decision(question);
    boolean written = false;
    try {
      written = write(decision.events());
    } finally {
      tools.witness().decided(question, decision, written);
    }
    if (!written) {
      undecided = input;
      view = look();
      return false;
    }
    undecided = null;
    state = decision.state();
    senses = decision.senses();
    decision.effects().forEach(this::carryOut);
    StationMode next = StationModes.of(state, senses);
    if (next != mode) {
      mode = next;
      modeSince = tools.clock().instant();
      StationNews.of(mode, senses.prompt()).ifPresent(news -> LOG.info("{}: {}", name(), news));
    }
    view = look();
    return true;
  }

  private Decision decision(DecisionWitness.Question q) {
    try {
      return core.decide(q.state(), q.senses(), q.input(), q.now());
    } catch (RuntimeException | Error e) {
      tools.witness().failed(q, e);
      throw e;
    }
  }

  private boolean write(List<StationEvent> events) {
    if (events.isEmpty()) {
      return true;
    }
    try {
      for (Recorded recorded : tools.log().append(name(), events)) {
        LOG.debug("{} #{} {}", name(), recorded.id(), recorded.event());
      }
      events.forEach(e -> StationNews.of(e).ifPresent(news -> LOG.info("{}: {}", name(), news)));
      trouble = null;
      return true;
    } catch (CutLogException e) {
      if (!e.mayRetry()) {
        throw e;
      }
      if (trouble == null) {
        LOG.error("the cut log cannot be written, nothing is sent until it can: {}", e.toString());
      }
      trouble = "the cut log cannot be written: " + e.getMessage();
      return false;
    }
  }

  private void carryOut(StationEffect effect) {
    if (effect instanceof StationEffect.Send send) {
      if (!tools.link().send(send.target())) {
        LOG.warn("{}: target {} was not sent, no link", name(), send.target().seq());
      }
    } else if (effect instanceof StationEffect.Show show) {
      tools.link().show(show.prompt());
    } else if (effect instanceof StationEffect.AskPlan ask) {
      tools
          .plans()
          .rest(setup, ask, plan -> put(new StationInput.PlanReady(ask.job(), ask.number(), plan)));
    }
  }

  private StationView look() {
    JobRun run = state.run();
    var target = state.target();
    var moving = state.armed() ? state.moving() : null;
    return new StationView(
        name(),
        mode,
        modeSince,
        state.linkUp(),
        state.armed(),
        run == null ? null : run.order().id(),
        state.queue().size(),
        run == null || run.stick() == null ? 0 : run.stick().number(),
        target == null ? null : target.set(),
        moving == null ? null : moving.set(),
        senses.prompt(),
        state.faults(),
        senses.snapshot(),
        standsAt(),
        trouble);
  }

  private @Nullable Length standsAt() {
    DeviceSnapshot device = senses.snapshot();
    return device == null ? null : setup.rules().calibration().readAt(device.position());
  }

  /** Ends in good order: books what is in the mailbox, sends nothing more, closes the link. */
  @Override
  public void close() {
    put(new StationInput.End("the service was stopped"));
    ending = true;
    try {
      thread.join(STOP_MILLIS);
      if (thread.isAlive()) {
        LOG.warn("station {} does not end; it is interrupted", name());
        thread.interrupt();
        thread.join(STOP_MILLIS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    try {
      tools.link().close();
    } catch (Exception e) {
      LOG.warn("the link of {} did not close: {}", name(), e.toString());
    }
  }
}
