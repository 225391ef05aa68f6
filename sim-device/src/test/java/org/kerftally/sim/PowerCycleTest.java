package org.kerftally.sim;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;

class PowerCycleTest {
  private static final Duration LONG = Duration.ofSeconds(30);

  /** The machine only looks whether there is one; the file itself is the shell's affair. */
  private static final SimConfig WITH_MEMORY = Bench.unattended().withMemory(Path.of("memory"));

  private static Bench afterOneCut(SimConfig config) {
    return new Bench(config).homed().reach(505, 4).stroke().pass(5000);
  }

  @Test
  void losesCountAndLastCutWithoutMemory() {
    Bench bench = afterOneCut(Bench.unattended());
    bench.act(Action.Kind.POWER_CYCLE);
    bench.pass(LONG);
    assertThat(bench.now().boot()).isEqualTo("b2");
    assertThat(bench.now().cutCount()).isZero();
    assertThat(bench.now().lastCut()).isNull();
  }

  @Test
  void keepsCountAndLastCutWithMemory() {
    Bench bench = afterOneCut(WITH_MEMORY);
    bench.act(Action.Kind.POWER_CYCLE);
    bench.pass(LONG);
    assertThat(bench.now().boot()).isEqualTo("b2");
    assertThat(bench.now().cutCount()).isEqualTo(1);
    assertThat(bench.now().lastCut()).isEqualTo(bench.truth.get(0));
    assertThat(bench.now().lastCut().boot()).isEqualTo("b1");
    bench.stroke().pass(5000);
    assertThat(bench.truth.get(1).count()).isEqualTo(2);
    assertThat(bench.truth.get(1).boot()).isEqualTo("b2");
    assertThat(bench.powerUps).extracting("boot").containsExactly("b1", "b2");
  }

  @Test
  void forgetsTargetAndPressesAndMovesNothing() {
    Bench bench = afterOneCut(WITH_MEMORY);
    bench.act(Action.Kind.REJECT);
    bench.move(3000, 5);
    bench.pass(1000);
    bench.act(Action.Kind.POWER_CYCLE);
    var halted = bench.now().position();
    bench.pass(LONG);
    assertThat(bench.now().activeSequence()).isZero();
    assertThat(bench.now().targetReached()).isFalse();
    assertThat(bench.now().panel()).isEqualTo(OperatorPanel.UNTOUCHED);
    assertThat(bench.now().position()).isEqualTo(halted);
    assertThat(bench.move(600, 1)).isEqualTo(Answer.accepted());
  }

  @Test
  void permitsNothingWithoutPower() {
    Bench bench = afterOneCut(WITH_MEMORY);
    bench.machine.act(Action.of(Action.Kind.POWER_CYCLE, Duration.ofSeconds(8)));
    bench.pass(Duration.ofSeconds(7));
    assertThat(bench.machine.isPowered()).isFalse();
    assertThat(bench.now().permitsMove()).isFalse();
    assertThat(bench.now().sawState()).isEqualTo(SawState.UNKNOWN);
    assertThat(bench.move(600, 9)).isEqualTo(Answer.refused("no power"));
    assertThat(bench.machine.stroke()).isFalse();
    bench.pass(Duration.ofSeconds(1));
    assertThat(bench.machine.isPowered()).isTrue();
    assertThat(bench.now().homingAttained()).isFalse();
    bench.homed();
    assertThat(bench.now().permitsMove()).isTrue();
  }

  @Test
  void losesACutThatWasNotAtTheTopYet() {
    Bench bench = new Bench(WITH_MEMORY).homed().reach(505, 4).stroke().pass(900);
    bench.act(Action.Kind.POWER_CYCLE);
    bench.pass(LONG);
    assertThat(bench.truth).isEmpty();
    assertThat(bench.now().sawState()).isEqualTo(SawState.IDLE);
  }

  @Test
  void remembersACutThatPassedTheTop() {
    Bench bench = new Bench(WITH_MEMORY).homed().reach(505, 4).stroke().pass(1000);
    bench.act(Action.Kind.POWER_CYCLE);
    bench.pass(LONG);
    assertThat(bench.truth).hasSize(1);
    assertThat(bench.now().lastCut()).isEqualTo(bench.truth.get(0));
  }

  @Test
  void clearsTheDrivesFaultsAndKeepsTheHandsOnes() {
    Bench bench = afterOneCut(WITH_MEMORY);
    bench.act(Action.Kind.DRIVE_FAULT);
    bench.act(Action.Kind.ESTOP);
    bench.act(Action.Kind.PAUSE);
    bench.act(Action.Kind.POWER_CYCLE);
    bench.pass(LONG);
    assertThat(bench.now().faultCode()).isEqualTo(DeviceFault.EMERGENCY_STOP.code());
    assertThat(bench.now().panel().paused()).isTrue();
    bench.act(Action.Kind.ESTOP_RELEASE);
    assertThat(bench.now().permitsMove()).isTrue();
  }

  @Test
  void startsAgainFromWhatItRemembered() {
    Bench before = afterOneCut(WITH_MEMORY);
    NonVolatile memory = NonVolatile.after(before.truth.get(0));
    Bench after = new Bench(WITH_MEMORY, memory, "").homed();
    assertThat(after.now().cutCount()).isEqualTo(1);
    assertThat(after.now().lastCut()).isEqualTo(before.truth.get(0));
    assertThat(after.now().activeSequence()).isZero();
  }
}
