package org.kerftally.sim;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.atomic.AtomicLong;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;

/** Holds one machine on a test bench: simulated time, a list for a truth, boot ids b1, b2, …. */
final class Bench implements Recorder {
  static final Instant START = Instant.parse("2027-03-01T09:00:00Z");
  static final Prompt CUT = new Prompt(Prompt.Kind.CUT, "Cut", null, null, null);

  final List<LastCut> truth = new ArrayList<>();
  final List<NonVolatile> powerUps = new ArrayList<>();
  final List<String> doings = new ArrayList<>();
  final Machine machine;

  Bench(SimConfig config) {
    this(config, NonVolatile.EMPTY, "");
  }

  Bench(SimConfig config, NonVolatile memory, String script) {
    AtomicLong boots = new AtomicLong();
    machine =
        new Machine(
            config,
            new SplittableRandom(config.seed()),
            () -> "b" + boots.incrementAndGet(),
            START::plusNanos,
            this,
            memory,
            Script.parse(script, "test.csv"));
  }

  static SimConfig unattended() {
    return SimConfig.standard("saw1").withOperator(OperatorModel.ABSENT);
  }

  static SimConfig attended() {
    return SimConfig.standard("saw1").withOperator(OperatorModel.STANDARD.withRejectRate(0));
  }

  static Prompt load(String material, Length length) {
    return new Prompt(Prompt.Kind.LOAD_STICK, "Load", material, length, null);
  }

  Bench homed() {
    return pass(MotionProfile.STANDARD.homing());
  }

  Bench pass(Duration time) {
    machine.advance(machine.nowNanos() + time.toNanos());
    return this;
  }

  Bench pass(long millis) {
    return pass(Duration.ofMillis(millis));
  }

  Answer move(long mm, long seq) {
    return machine.moveAbsolute(Length.ofMm(mm), seq);
  }

  /** Moves and lets the stop come to rest. */
  Bench reach(long mm, long seq) {
    Answer answer = move(mm, seq);
    if (!answer.equals(Answer.accepted())) {
      throw new AssertionError(answer);
    }
    return pass(Duration.ofSeconds(10));
  }

  Bench stroke() {
    if (!machine.stroke()) {
      throw new AssertionError("the saw did not take the stroke");
    }
    return this;
  }

  void act(Action.Kind kind) {
    machine.act(Action.of(kind));
  }

  DeviceSnapshot now() {
    return machine.snapshot();
  }

  @Override
  public void powerUp(NonVolatile memory, Instant at) {
    powerUps.add(memory);
  }

  @Override
  public void cut(LastCut cut) {
    if (cut.equals(now().lastCut()) || now().cutCount() >= cut.count()) {
      throw new AssertionError("shown before it was recorded: " + cut);
    }
    truth.add(cut);
  }

  @Override
  public void pressed(String boot, Button button, long total, Instant at) {
    doings.add(boot + " " + button + " " + total);
  }

  @Override
  public void begun(String boot, long seq, Length to, Instant at) {
    if (now().activeSequence() == seq) {
      throw new AssertionError("shown before it was recorded: " + seq);
    }
    doings.add(boot + " move " + seq + " to " + to.toMm().toPlainString());
  }
}
