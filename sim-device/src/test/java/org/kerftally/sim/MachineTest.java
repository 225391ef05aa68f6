package org.kerftally.sim;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

class MachineTest {
  private final Bench bench = new Bench(Bench.unattended());

  @Test
  void permitsNoMoveUntilHomedAndThenWaitsForATarget() {
    assertThat(bench.now().permitsMove()).isFalse();
    assertThat(bench.move(500, 1)).isEqualTo(Answer.refused("homing not attained"));
    bench.homed();
    assertThat(bench.now().permitsMove()).isTrue();
    Length before = bench.now().position();
    bench.pass(Duration.ofMinutes(10));
    assertThat(bench.now().position()).isEqualTo(before);
    assertThat(bench.now().activeSequence()).isZero();
  }

  @Test
  void reachesATargetWithinItsWindowAfterSettling() {
    bench.homed();
    assertThat(bench.move(505, 1)).isEqualTo(Answer.accepted());
    long needed = MotionProfile.STANDARD.moveNanos(Length.ofMm(505));
    bench.pass(Duration.ofNanos(needed / 2));
    assertThat(bench.now().targetReached()).isFalse();
    assertThat(bench.now().activeSequence()).isEqualTo(1);
    bench.pass(Duration.ofNanos(needed / 2 + 1_000_000));
    assertThat(bench.now().targetReached()).isTrue();
    Length off = bench.now().position().minus(Length.ofMm(505)).abs();
    assertThat(off).isLessThanOrEqualTo(MotionProfile.STANDARD.window());
  }

  @Test
  void showsPositionsInStepsOfItsResolution() {
    bench.homed();
    bench.machine.moveAbsolute(Length.ofNm(505_123_456), 1);
    for (int i = 0; i < 200; i++) {
      bench.pass(10);
      assertThat(bench.now().position().nm() % MotionProfile.STANDARD.resolution().nm()).isZero();
    }
  }

  @Test
  void goesThroughTheWholeSawCycleInOrder() {
    bench.homed().reach(505, 1).stroke();
    List<SawState> seen = new ArrayList<>();
    while (bench.machine.nextNanos() != Long.MAX_VALUE) {
      seen.add(bench.now().sawState());
      bench.machine.advance(bench.machine.nextNanos());
    }
    seen.add(bench.now().sawState());
    assertThat(seen)
        .containsExactly(
            SawState.GUARD_DOWN,
            SawState.BLADE_OUT,
            SawState.BLADE_OUT,
            SawState.GUARD_DOWN,
            SawState.IDLE);
  }

  @Test
  void countsACutWhenTheBladeIsAtTheTop() {
    bench.homed().reach(505, 7).stroke();
    bench.pass(999);
    assertThat(bench.now().cutCount()).isZero();
    assertThat(bench.truth).isEmpty();
    bench.pass(1);
    assertThat(bench.now().cutCount()).isEqualTo(1);
    assertThat(bench.truth).containsExactly(bench.now().lastCut());
    assertThat(bench.truth.get(0).seq()).isEqualTo(7);
    assertThat(bench.truth.get(0).position()).isEqualTo(bench.now().position());
  }

  @Test
  void takesTheLoadedMaterialsSawTimes() {
    SawCycle slow =
        new SawCycle(
            Duration.ofSeconds(1),
            Duration.ofSeconds(5),
            Duration.ofSeconds(1),
            Duration.ofSeconds(1));
    Bench attended =
        new Bench(
            Bench.attended().withSaw(new SawTimes(SawCycle.STANDARD, Map.of("alu-40x40", slow))));
    attended.homed();
    attended.machine.show(Bench.load("alu-40x40", Length.ofMm(3000)));
    attended.pass(Duration.ofSeconds(20)).reach(500, 1).stroke().pass(5_999);
    assertThat(attended.truth).isEmpty();
    attended.pass(1);
    assertThat(attended.truth).hasSize(1);
  }

  @Test
  void refusesATargetWhileTheSawIsNotIdle() {
    bench.homed().reach(505, 1).stroke();
    assertThat(bench.move(600, 2)).isEqualTo(Answer.refused("saw not idle: guard down"));
    bench.pass(500);
    assertThat(bench.move(600, 2)).isEqualTo(Answer.refused("saw not idle: blade out"));
    bench.pass(2000);
    assertThat(bench.move(600, 2)).isEqualTo(Answer.accepted());
  }

  @Test
  void refusesWhatIsOutsideTheTravel() {
    bench.homed();
    assertThat(bench.move(6501, 1)).isInstanceOf(Answer.Refused.class);
    assertThat(bench.move(-1, 1)).isInstanceOf(Answer.Refused.class);
    assertThat(bench.move(6500, 1)).isEqualTo(Answer.accepted());
  }

  @Test
  void refusesSequencesThatDoNotGrow() {
    bench.homed().reach(505, 5);
    assertThat(bench.move(600, 4)).isInstanceOf(Answer.Refused.class);
    assertThat(bench.move(600, 5)).isInstanceOf(Answer.Refused.class);
    assertThat(bench.move(600, 0)).isInstanceOf(Answer.Refused.class);
    assertThat(bench.move(600, Machine.MAX_SEQUENCE + 1)).isInstanceOf(Answer.Refused.class);
    assertThat(bench.move(600, 6)).isEqualTo(Answer.accepted());
  }

  @Test
  void acceptsTheActiveTargetAgainWithoutMoving() {
    bench.homed().reach(505, 5);
    DeviceSnapshot before = bench.now();
    assertThat(bench.move(505, 5)).isEqualTo(Answer.accepted());
    assertThat(bench.machine.isMoving()).isFalse();
    assertThat(bench.now()).isEqualTo(before);
  }

  @Test
  void keepsTheSequenceActiveAfterItsCut() {
    bench.homed().reach(505, 5).stroke().pass(5000);
    assertThat(bench.now().activeSequence()).isEqualTo(5);
    assertThat(bench.now().targetReached()).isTrue();
  }

  @ParameterizedTest
  @EnumSource(
      value = Action.Kind.class,
      names = {
        "ESTOP",
        "DRIVE_FAULT",
        "FOLLOWING_ERROR",
        "HOMING_LOST",
        "LOW_AIR",
        "DOOR_OPEN",
        "REMOTE_OFF"
      })
  void haltsAMoveForGoodWhenSomethingForbidsIt(Action.Kind kind) {
    bench.homed().move(5000, 1);
    bench.pass(2000);
    bench.act(kind);
    Length halted = bench.now().position();
    assertThat(halted).isBetween(Length.ofMm(500), Length.ofMm(4500));
    assertThat(bench.move(600, 2)).isInstanceOf(Answer.Refused.class);
    for (Action.Kind mend :
        List.of(
            Action.Kind.ESTOP_RELEASE,
            Action.Kind.CLEAR,
            Action.Kind.REHOME,
            Action.Kind.AIR_OK,
            Action.Kind.DOOR_CLOSED,
            Action.Kind.REMOTE_ON)) {
      bench.act(mend);
    }
    bench.pass(Duration.ofMinutes(1));
    assertThat(bench.now().permitsMove()).isTrue();
    assertThat(bench.now().position()).isEqualTo(halted);
    assertThat(bench.now().targetReached()).isFalse();
    assertThat(bench.now().activeSequence()).isEqualTo(1);
    // Saying "accepted" again would promise a move that is over.
    assertThat(bench.move(5000, 1)).isInstanceOf(Answer.Refused.class);
    assertThat(bench.move(5000, 2)).isEqualTo(Answer.accepted());
  }

  @Test
  void reportsTheGravestFaultFirst() {
    bench.homed();
    bench.act(Action.Kind.DRIVE_FAULT);
    assertThat(bench.now().faultCode()).isEqualTo(DeviceFault.DRIVE_FAULT.code());
    bench.act(Action.Kind.ESTOP);
    assertThat(bench.now().faultText()).isEqualTo("Emergency stop");
    assertThat(bench.now().enabled()).isFalse();
    bench.act(Action.Kind.ESTOP_RELEASE);
    assertThat(bench.now().faultCode()).isEqualTo(DeviceFault.DRIVE_FAULT.code());
    bench.act(Action.Kind.CLEAR);
    assertThat(bench.now().faultCode()).isZero();
    assertThat(bench.now().faultText()).isEmpty();
    assertThat(bench.now().enabled()).isTrue();
  }

  @Test
  void breaksACycleOffWithoutCountingWhenTheEmergencyStopComesBeforeTheTop() {
    bench.homed().reach(505, 1).stroke().pass(600);
    assertThat(bench.now().sawState()).isEqualTo(SawState.BLADE_OUT);
    bench.act(Action.Kind.ESTOP);
    assertThat(bench.now().sawState()).isEqualTo(SawState.BLADE_OUT);
    bench.pass(Duration.ofSeconds(5));
    assertThat(bench.now().sawState()).isEqualTo(SawState.IDLE);
    assertThat(bench.truth).isEmpty();
    assertThat(bench.machine.stroke()).isFalse();
  }

  @Test
  void countsNothingWhenTheGuardDoesNotClose() {
    bench.homed().reach(505, 1);
    bench.act(Action.Kind.GUARD_STUCK);
    bench.stroke().pass(Duration.ofSeconds(5));
    assertThat(bench.truth).isEmpty();
    assertThat(bench.now().faultCode()).isEqualTo(DeviceFault.GUARD_NOT_CLOSED.code());
    bench.act(Action.Kind.CLEAR);
    bench.stroke().pass(Duration.ofSeconds(5));
    assertThat(bench.truth).hasSize(1);
  }

  @Test
  void strokesTwiceWithoutBeingIdleBetween() {
    bench.homed().reach(505, 3);
    bench.act(Action.Kind.DOUBLE_STROKE);
    bench.stroke();
    while (bench.machine.nextNanos() != Long.MAX_VALUE) {
      assertThat(bench.now().sawState()).isNotEqualTo(SawState.IDLE);
      bench.machine.advance(bench.machine.nextNanos());
    }
    assertThat(bench.truth).extracting("count").containsExactly(1L, 2L);
    assertThat(bench.truth).extracting("seq").containsExactly(3L, 3L);
    bench.stroke().pass(5000);
    assertThat(bench.truth).hasSize(3);
  }

  @Test
  void countsAStrokeWithoutATargetUnderSequenceZero() {
    bench.homed();
    bench.act(Action.Kind.STRAY_STROKE);
    bench.pass(5000);
    assertThat(bench.truth).extracting("seq").containsExactly(0L);
  }

  @Test
  void haltsTheStopWhenAStrokeComesDuringAMove() {
    bench.homed().move(4000, 1);
    bench.pass(1500);
    bench.act(Action.Kind.STRAY_STROKE);
    Length halted = bench.now().position();
    bench.pass(Duration.ofSeconds(30));
    assertThat(bench.now().position()).isEqualTo(halted);
    assertThat(bench.now().targetReached()).isFalse();
    assertThat(bench.truth).hasSize(1);
    assertThat(bench.truth.get(0).position()).isEqualTo(halted);
  }

  @Test
  void doesWhatItsScriptSaysWhenItSays() {
    Bench scripted =
        new Bench(
            Bench.unattended(), NonVolatile.EMPTY, "10,low-air\n12.5,air-ok\n11,defect,800.5\n");
    scripted.pass(9_999);
    assertThat(scripted.now().faultCode()).isZero();
    scripted.pass(1);
    assertThat(scripted.now().faultCode()).isEqualTo(DeviceFault.LOW_AIR.code());
    scripted.pass(1_000);
    assertThat(scripted.now().panel().defects()).isEqualTo(1);
    assertThat(scripted.now().panel().defectAt()).isEqualTo(Length.ofNm(800_500_000));
    scripted.pass(1_500);
    assertThat(scripted.now().faultCode()).isZero();
  }

  @Test
  void recordsPressesAndMovesAndNoRefusedTarget() {
    Bench bench = new Bench(Bench.unattended());
    assertThat(bench.move(505, 4)).isNotEqualTo(Answer.accepted());
    bench.homed().act(Action.Kind.ACKNOWLEDGE);
    bench.reach(505, 4).act(Action.Kind.ACKNOWLEDGE);
    assertThat(bench.doings)
        .containsExactly("b1 ACKNOWLEDGE 1", "b1 move 4 to 505", "b1 ACKNOWLEDGE 2");
  }
}
