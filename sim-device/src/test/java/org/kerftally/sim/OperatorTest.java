package org.kerftally.sim;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;

class OperatorTest {
  private static final Duration MINUTE = Duration.ofMinutes(1);
  private static final Length STICK = Length.ofMm(2440);

  private final Bench bench = new Bench(Bench.attended()).homed();

  @Test
  void loadsTheStickThePromptAsksFor() {
    bench.machine.show(Bench.load("pine-19x146", STICK));
    bench.pass(2000);
    assertThat(bench.now().panel().stickLoaded()).isZero();
    bench.pass(Duration.ofSeconds(10));
    assertThat(bench.now().panel().stickLoaded()).isEqualTo(1);
    assertThat(bench.now().panel().stickLength()).isEqualTo(STICK);
  }

  @Test
  void loadsOnceHoweverOftenTheSamePromptIsShown() {
    for (int i = 0; i < 30; i++) {
      bench.machine.show(Bench.load("pine-19x146", STICK));
      bench.pass(1000);
    }
    assertThat(bench.now().panel().stickLoaded()).isEqualTo(1);
  }

  @Test
  void loadsAgainWhenTheMachineStillAsksAfterALongTime() {
    bench.machine.show(Bench.load("pine-19x146", STICK));
    bench.pass(Duration.ofSeconds(100));
    assertThat(bench.now().panel().stickLoaded()).isEqualTo(2);
  }

  @Test
  void loadsAShorterStickOnce() {
    bench.machine.act(Action.of(Action.Kind.SHORT_STICK, Length.ofMm(40)));
    bench.machine.show(Bench.load("pine-19x146", STICK));
    bench.pass(Duration.ofSeconds(20));
    assertThat(bench.now().panel().stickLength()).isEqualTo(Length.ofMm(2400));
    bench.machine.show(Bench.CUT);
    bench.machine.show(Bench.load("pine-19x146", STICK));
    bench.pass(Duration.ofSeconds(20));
    assertThat(bench.now().panel().stickLength()).isEqualTo(STICK);
  }

  @Test
  void strokesOncePerTarget() {
    bench.machine.show(Bench.CUT);
    bench.pass(MINUTE);
    assertThat(bench.truth).isEmpty();
    bench.move(505, 1);
    bench.pass(MINUTE);
    assertThat(bench.truth).hasSize(1);
    bench.move(505, 2);
    bench.pass(MINUTE);
    assertThat(bench.truth).extracting("seq").containsExactly(1L, 2L);
  }

  @Test
  void strokesTheSquaringCutToo() {
    bench.machine.show(new Prompt(Prompt.Kind.SQUARE_END, "Square", null, null, null));
    bench.move(505, 1);
    bench.pass(MINUTE);
    assertThat(bench.truth).hasSize(1);
  }

  @Test
  void doesNotCutWithoutBeingAsked() {
    bench.move(505, 1);
    bench.pass(MINUTE);
    assertThat(bench.truth).isEmpty();
    bench.machine.show(Prompt.NONE);
    bench.pass(MINUTE);
    assertThat(bench.truth).isEmpty();
  }

  @Test
  void doesNotCutWhilePausedOrFaulted() {
    bench.machine.show(Bench.CUT);
    bench.move(505, 1);
    bench.act(Action.Kind.PAUSE);
    bench.pass(MINUTE);
    assertThat(bench.truth).isEmpty();
    bench.act(Action.Kind.RESUME);
    bench.act(Action.Kind.LOW_AIR);
    bench.pass(MINUTE);
    assertThat(bench.truth).isEmpty();
    bench.act(Action.Kind.AIR_OK);
    bench.pass(MINUTE);
    assertThat(bench.truth).hasSize(1);
  }

  @Test
  void cutsAgainWhenTheGuardDidNotClose() {
    bench.machine.show(Bench.CUT);
    bench.act(Action.Kind.GUARD_STUCK);
    bench.move(505, 1);
    bench.pass(MINUTE);
    assertThat(bench.truth).isEmpty();
    bench.act(Action.Kind.CLEAR);
    bench.pass(MINUTE);
    assertThat(bench.truth).hasSize(1);
  }

  @Test
  void acknowledgesWhenAsked() {
    bench.machine.show(new Prompt(Prompt.Kind.ACKNOWLEDGE, "Clear?", null, null, null));
    bench.pass(5000);
    assertThat(bench.now().panel().acknowledged()).isEqualTo(1);
  }

  @Test
  void leavesAMachineThatIsToBeClearedAlone() {
    bench.act(Action.Kind.ESTOP);
    bench.machine.show(new Prompt(Prompt.Kind.CLEAR_MACHINE, "Clear", null, null, null));
    bench.pass(Duration.ofHours(1));
    assertThat(bench.now().faultText()).isEqualTo("Emergency stop");
    assertThat(bench.now().panel().acknowledged()).isZero();
  }

  @Test
  void rejectsThePartOfThePiecesItIsToldTo() {
    Bench picky =
        new Bench(Bench.attended().withOperator(OperatorModel.STANDARD.withRejectRate(0.25)))
            .homed();
    picky.machine.show(Bench.CUT);
    for (int seq = 1; seq <= 400; seq++) {
      picky.reach(505 + seq % 2, seq).pass(5000);
    }
    assertThat(picky.truth).hasSize(400);
    // 400 draws at 1/4: mean 100, standard deviation √(400·¼·¾) ≈ 8.7; six of them either way.
    assertThat(picky.now().panel().rejected()).isBetween(48L, 152L);
  }

  @Test
  void judgesAPieceBeforeTheNextIsCut() {
    Bench strict =
        new Bench(Bench.attended().withOperator(OperatorModel.STANDARD.withRejectRate(1))).homed();
    strict.machine.show(Bench.CUT);
    strict.move(505, 1);
    for (int seq = 2; seq <= 50; seq++) {
      while (strict.truth.size() < seq - 1) {
        strict.pass(100);
      }
      assertThat(strict.now().panel().rejected()).isEqualTo(seq - 2);
      while (!strict.now().permitsMove()) {
        strict.pass(100);
      }
      strict.move(505 + seq, seq);
    }
  }

  @Test
  void looksUpAfterARejectionBeforeTheNextCut() {
    OperatorModel strict = OperatorModel.STANDARD.withRejectRate(1).waitingAtLeast(MINUTE, MINUTE);
    Bench looking = new Bench(Bench.attended().withOperator(strict)).homed();
    looking.machine.show(Bench.CUT);
    looking.reach(505, 1).reach(600, 2).pass(Duration.ofSeconds(20));
    assertThat(looking.now().panel().rejected()).isEqualTo(1);
    assertThat(looking.truth).hasSize(1);
    looking.pass(Duration.ofMinutes(2));
    assertThat(looking.truth).hasSize(2);
  }

  @Test
  void neverRejectsASquaringCut() {
    Bench strict =
        new Bench(Bench.attended().withOperator(OperatorModel.STANDARD.withRejectRate(1))).homed();
    strict.machine.show(new Prompt(Prompt.Kind.SQUARE_END, "Square", null, null, null));
    strict.reach(505, 1).pass(MINUTE);
    assertThat(strict.truth).hasSize(1);
    assertThat(strict.now().panel().rejected()).isZero();
  }
}
