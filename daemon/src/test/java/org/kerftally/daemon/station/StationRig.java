package org.kerftally.daemon.station;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Runs the station core against a {@link FakeSaw} in one thread: a log that keeps what was
 * appended, effects carried out after it, a clock that only moves when told.
 */
final class StationRig {

  static final Length KERF = Length.ofMm(3);
  static final Length STICK = Length.ofMm(1000);

  final FakeSaw saw = new FakeSaw();
  final List<StationEvent> log = new ArrayList<>();
  final List<Target> sent = new ArrayList<>();
  final StationRules rules;
  final StationCore core;
  DecisionWitness witness = DecisionWitness.NONE;
  StationState state = StationState.EMPTY;
  Senses senses = Senses.NONE;
  long nanos;
  boolean linked;
  boolean losesMessages;
  int sticksLeft = 1_000;
  final SplittableRandom random;
  @Nullable Prompt shown;
  private final Deque<StationInput> inbox = new ArrayDeque<>();

  /** Set to the number of decisions after which the process dies; -1 for never. */
  int dieAfterDecisions = -1;

  boolean dead;

  StationRig(Layout layout, boolean assumeStick, long seed) {
    this(layout, assumeStick, seed, StopMoves.NONE);
  }

  StationRig(Layout layout, boolean assumeStick, long seed, StopMoves moves) {
    rules =
        new StationRules(
            "saw1",
            layout,
            new Travel(Length.ofMm(20), Length.ofMm(4000)),
            Calibration.TRUE,
            Length.ofNm(100_000),
            Duration.ofSeconds(3),
            new CutRules(
                KERF,
                Length.ofMm(10),
                layout == Layout.INFEED_PUSHER ? Length.ofMm(50) : Length.ZERO,
                Length.ofMm(200),
                true),
            Map.of(),
            assumeStick,
            false,
            moves);
    core = new StationCore(rules);
    random = new SplittableRandom(seed);
  }

  static JobOrder order(String id, int... lengthsMmAndQuantities) {
    List<Part> parts = new ArrayList<>();
    for (int i = 0; i < lengthsMmAndQuantities.length; i += 2) {
      int mm = lengthsMmAndQuantities[i];
      parts.add(
          new Part("p" + mm, Length.ofMm(mm), lengthsMmAndQuantities[i + 1], "pine", 5, null));
    }
    return new JobOrder(id, id, id + ".csv", "0", null, LengthUnit.MM, 5, null, parts);
  }

  /** Plans by first fit in the order given: enough for a station, which cuts any valid plan. */
  CutPlan plan(List<Part> parts, @Nullable StockItem inSaw) {
    Deque<Cut> todo = new ArrayDeque<>();
    for (Part part : parts) {
      for (int i = 0; i < part.quantity(); i++) {
        todo.add(new Cut(part.name(), part.length()));
      }
    }
    List<PlannedSticks> sticks = new ArrayList<>();
    if (inSaw != null) {
      fill(todo, sticks, StickKind.IN_SAW, inSaw.length(), Length.ZERO);
    }
    int stock = sticksLeft;
    while (!todo.isEmpty() && stock-- > 0) {
      fill(todo, sticks, StickKind.NEW, STICK, rules.rules().leadTrim());
    }
    List<Shortage> short_ = new ArrayList<>();
    todo.forEach(cut -> short_.add(new Shortage(cut.part(), "pine", cut.length(), 1)));
    return new CutPlan(sticks, short_, BigDecimal.ONE, BigDecimal.ONE, true);
  }

  private void fill(
      Deque<Cut> todo, List<PlannedSticks> sticks, StickKind kind, Length length, Length trim) {
    List<Cut> cuts = new ArrayList<>();
    Length rest = length.minus(trim);
    while (!todo.isEmpty()) {
      Length next = rest.minus(todo.peek().length()).minus(KERF);
      if (!rules.rules().fits(next)) {
        break;
      }
      rest = next;
      cuts.add(todo.poll());
    }
    if (!cuts.isEmpty()) {
      sticks.add(
          new PlannedSticks(
              "pine",
              length,
              kind,
              null,
              BigDecimal.ONE,
              1,
              trim,
              cuts,
              rest.max(Length.ZERO),
              null));
    }
  }

  void offer(JobOrder order) {
    input(new StationInput.JobOffered(order, plan(order.parts(), null)));
  }

  void start() {
    input(new StationInput.Begin("test"));
    connect();
  }

  void connect() {
    linked = true;
    input(new StationInput.FromLink(new LinkEvent.Up(saw.snapshot())));
  }

  void disconnect() {
    linked = false;
    input(new StationInput.FromLink(new LinkEvent.Down("cable pulled")));
  }

  /** Kills the process: everything not in the log is gone. Begins again from the log alone. */
  void restart() {
    dead = false;
    dieAfterDecisions = -1;
    inbox.clear();
    state = StationFold.applyAll(StationState.EMPTY, log);
    senses = Senses.NONE;
    linked = false;
    start();
  }

  void tell() {
    if (linked && !(losesMessages && random.nextInt(4) == 0)) {
      input(new StationInput.FromLink(new LinkEvent.Snapshot(saw.snapshot())));
    }
  }

  void tick(long millis) {
    nanos += millis * 1_000_000L;
    input(new StationInput.Tick());
  }

  void acknowledge() {
    saw.acknowledged++;
    tell();
  }

  void input(StationInput first) {
    inbox.add(first);
    while (!inbox.isEmpty() && !dead) {
      step(inbox.poll());
    }
  }

  private void step(StationInput input) {
    Instant wall = Instant.parse("2027-03-01T08:00:00Z").plusNanos(nanos);
    Now now = new Now(wall, nanos);
    Decision decision = core.decide(state, senses, input, now);
    witness.decided(new DecisionWitness.Question(state, senses, input, now), decision, true);
    log.addAll(decision.events());
    state = decision.state();
    senses = decision.senses();
    if (dieAfterDecisions >= 0 && dieAfterDecisions-- == 0) {
      dead = true;
      return;
    }
    decision.effects().forEach(this::carryOut);
  }

  private void carryOut(StationEffect effect) {
    if (effect instanceof StationEffect.Send send) {
      sent.add(send.target());
      if (!acknowledgedSinceLastInterruption()) {
        saw.breaches.add("sent without an acknowledge since the last interruption: " + send);
      }
      if (senses.snapshot() == null || !senses.snapshot().permitsMove()) {
        saw.breaches.add("sent without every permit, as far as is known: " + send);
      }
      boolean lost = !linked || saw.deaf || (losesMessages && random.nextInt(8) == 0);
      if (!lost) {
        LinkEvent.Replied reply = saw.take(send.target());
        if (!(losesMessages && random.nextInt(8) == 0)) {
          inbox.add(new StationInput.FromLink(reply));
        }
        inbox.add(new StationInput.FromLink(new LinkEvent.Snapshot(saw.snapshot())));
      }
    } else if (effect instanceof StationEffect.Show show) {
      shown = show.prompt();
    } else if (effect instanceof StationEffect.AskPlan ask) {
      inbox.add(
          new StationInput.PlanReady(ask.job(), ask.number(), plan(ask.parts(), ask.inSaw())));
    }
  }

  /** Reads the log backwards: an acknowledge must come before any interruption. */
  private boolean acknowledgedSinceLastInterruption() {
    for (int i = log.size() - 1; i >= 0; i--) {
      StationEvent event = log.get(i);
      if (event instanceof StationEvent.Acknowledged) {
        return true;
      }
      if (event instanceof StationEvent.DriveBegun
          || event instanceof StationEvent.LinkUp
          || event instanceof StationEvent.LinkDown
          || event instanceof StationEvent.BootSeen
          || event instanceof StationEvent.FaultRaised) {
        return false;
      }
    }
    return false;
  }

  StationMode mode() {
    return StationModes.of(state, senses);
  }

  /** The operator does what the prompt says; returns false when it says nothing. */
  boolean operatorActs() {
    Prompt prompt = senses.prompt();
    switch (prompt.kind()) {
      case LOAD_STICK -> {
        saw.stickLoaded++;
        tell();
      }
      case SQUARE_END, CUT -> cut();
      case ACKNOWLEDGE -> acknowledge();
      default -> {
        return false;
      }
    }
    return true;
  }

  void cut() {
    saw.stroke();
    tell();
  }

  List<CutBooked> cuts(CutKind kind) {
    return cuts().stream().filter(c -> c.kind() == kind).toList();
  }

  List<CutBooked> cuts() {
    return log.stream().filter(CutBooked.class::isInstance).map(CutBooked.class::cast).toList();
  }

  <T extends StationEvent> List<T> all(Class<T> type) {
    return log.stream().filter(type::isInstance).map(type::cast).toList();
  }

  /** Works until the operator has nothing to do; at most {@code steps} times. */
  void work(int steps) {
    for (int i = 0; i < steps && operatorActs(); i++) {
      tick(100);
    }
  }
}
