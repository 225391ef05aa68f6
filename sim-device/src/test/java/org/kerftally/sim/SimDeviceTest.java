package org.kerftally.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicReference;
import org.awaitility.Awaitility;
import org.awaitility.core.ConditionFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

class SimDeviceTest {
  @TempDir Path folder;

  /** A bound for a slow machine, never a measure. */
  private static ConditionFactory await() {
    return Awaitility.await().atMost(Duration.ofMinutes(1)).pollInterval(Duration.ofMillis(5));
  }

  private SimConfig fast() {
    return Bench.unattended()
        .withSpeed(200)
        .withTruth(folder.resolve("truth.csv"))
        .withMemory(folder.resolve("memory"));
  }

  private static SimDevice homed(SimConfig config) {
    SimDevice device = SimDevice.open(config);
    await().until(() -> device.snapshot().permitsMove());
    return device;
  }

  private static void cut(SimDevice device, long mm, long seq) {
    assertThat(device.moveAbsolute(Length.ofMm(mm), seq)).isEqualTo(Answer.accepted());
    await().until(() -> device.snapshot().targetReached());
    long count = device.snapshot().cutCount();
    assertThat(device.stroke()).isTrue();
    await().until(() -> device.snapshot().cutCount() == count + 1);
    await().until(() -> device.snapshot().sawState() == SawState.IDLE);
  }

  @Test
  void movesCutsAndTellsWhoeverListens() {
    try (SimDevice device = homed(fast())) {
      List<LastCut> heard = new CopyOnWriteArrayList<>();
      List<SawState> states = new CopyOnWriteArrayList<>();
      device.onCut(heard::add);
      device.onChange(() -> states.add(device.snapshot().sawState()));
      cut(device, 505, 1);
      cut(device, 413, 2);
      await().until(() -> heard.size() == 2);
      assertThat(heard).extracting(LastCut::seq).containsExactly(1L, 2L);
      assertThat(states).contains(SawState.GUARD_DOWN, SawState.BLADE_OUT, SawState.IDLE);
      assertThat(device.targetPosition()).isEqualTo(Length.ofMm(413));
    }
  }

  @Test
  void showsACutOnlyWhenItsTruthIsOnDisk() {
    try (SimDevice device = homed(fast())) {
      List<String> trouble = new CopyOnWriteArrayList<>();
      device.onChange(
          () -> {
            LastCut last = device.snapshot().lastCut();
            if (last != null && !truthHolds(last)) {
              trouble.add("shown and not true: " + last);
            }
          });
      for (int seq = 1; seq <= 10; seq++) {
        cut(device, 500 + seq, seq);
      }
      assertThat(trouble).isEmpty();
    }
  }

  private boolean truthHolds(LastCut cut) {
    try {
      return Files.readString(folder.resolve("truth.csv")).contains(CutLine.format(cut) + "\n");
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** The device /dev/full of Linux refuses every byte: a disk that is full. */
  @Test
  void stopsForGoodWithTheCutUnshownWhenTheTruthCannotBeWritten() {
    assumeTrue(Files.exists(Path.of("/dev/full")));
    SimConfig config = Bench.unattended().withSpeed(200).withTruth(Path.of("/dev/full"));
    try (SimDevice device = homed(config)) {
      assertThat(device.stroke()).isTrue();
      await().until(() -> device.failure().isDone());
      assertThat(device.failure().join()).hasMessageContaining("/dev/full");
      assertThat(device.snapshot().cutCount()).isZero();
      assertThat(device.snapshot().lastCut()).isNull();
      assertThat(device.moveAbsolute(Length.ofMm(500), 1)).isInstanceOf(Answer.Refused.class);
    }
  }

  @Test
  void goesThroughAPowerCycleUnderANewBootId() {
    try (SimDevice device = homed(fast())) {
      List<Boolean> power = new CopyOnWriteArrayList<>();
      device.onPower(power::add);
      cut(device, 505, 1);
      String boot = device.snapshot().boot();
      device.powerCycle();
      await().until(() -> power.size() == 2);
      assertThat(power).containsExactly(false, true);
      await().until(() -> device.snapshot().permitsMove());
      assertThat(device.snapshot().boot()).isNotEqualTo(boot).matches("[0-9a-f]{16}");
      assertThat(device.snapshot().cutCount()).isEqualTo(1);
      assertThat(device.snapshot().activeSequence()).isZero();
    }
  }

  @Test
  void remembersAcrossItsOwnEnd() {
    LastCut last;
    String boot;
    try (SimDevice device = homed(fast())) {
      cut(device, 505, 1);
      last = device.snapshot().lastCut();
      boot = device.snapshot().boot();
    }
    try (SimDevice device = SimDevice.open(fast())) {
      assertThat(device.snapshot().cutCount()).isEqualTo(1);
      assertThat(device.snapshot().lastCut()).isEqualTo(last);
      assertThat(device.snapshot().boot()).isNotEqualTo(boot);
    }
  }

  @Test
  void neverSharesABootIdBetweenTwoStartsOfOneSeed() {
    try (SimDevice one = SimDevice.open(Bench.unattended());
        SimDevice other = SimDevice.open(Bench.unattended())) {
      assertThat(one.snapshot().boot()).isNotEqualTo(other.snapshot().boot());
    }
  }

  @Test
  void letsTheOperatorWorkThroughAStick() {
    SimConfig config = fast().withOperator(OperatorModel.STANDARD.withRejectRate(0)).withSpeed(500);
    try (SimDevice device = homed(config)) {
      device.show(Bench.load("pine-19x146", Length.ofMm(2440)));
      await().until(() -> device.snapshot().panel().stickLoaded() == 1);
      device.show(Bench.CUT);
      for (int seq = 1; seq <= 4; seq++) {
        long count = seq;
        assertThat(device.moveAbsolute(Length.ofMm(505), seq)).isEqualTo(Answer.accepted());
        await().until(() -> device.snapshot().cutCount() == count);
        await().until(() -> device.snapshot().permitsMove());
      }
      device.show(Prompt.NONE);
      assertThat(device.snapshot().lastCut().seq()).isEqualTo(4);
    }
  }

  @Test
  void showsAnInjectedFaultAtOnce() {
    try (SimDevice device = homed(fast())) {
      device.inject(DeviceFault.EMERGENCY_STOP);
      assertThat(device.snapshot().faultCode()).isEqualTo(1);
      assertThat(device.stroke()).isFalse();
      device.act(Action.of(Action.Kind.ESTOP_RELEASE));
      assertThat(device.snapshot().faultCode()).isZero();
    }
  }

  @Test
  void keepsTellingTheOthersWhenAListenerFails() {
    try (SimDevice device = homed(fast())) {
      AtomicReference<Boolean> told = new AtomicReference<>(false);
      device.onChange(
          () -> {
            throw new IllegalStateException("a listener with a mistake");
          });
      device.onChange(() -> told.set(true));
      device.press(Button.ACKNOWLEDGE);
      await().until(told::get);
    }
  }

  @Test
  void refusesAfterItWasClosedAndClosesTwice() {
    SimDevice device = homed(fast());
    device.close();
    device.close();
    assertThat(device.moveAbsolute(Length.ofMm(500), 1)).isInstanceOf(Answer.Refused.class);
  }

  @Test
  void reportsAScriptThatDoesNotRead() throws IOException {
    Path script = Files.writeString(folder.resolve("script.csv"), "1,explode\n");
    assertThatThrownBy(() -> SimDevice.open(fast().withScript(script)))
        .isInstanceOf(SimInputException.class)
        .hasMessageContaining("script.csv, line 1, action");
    assertThat(folder.resolve("truth.csv")).doesNotExist();
  }
}
