package org.kerftally.daemon.conformance;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.conformance.StepResult.Verdict;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.length.Length;

/** A device that keeps the contract passes every step; one that breaks a rule fails that step. */
final class ConformanceTest {

  private static final Duration PATIENCE = Duration.ofMinutes(2);

  private final FakeRig rig = new FakeRig();

  private Map<Step, StepResult> run(StationConfig station) throws InterruptedException {
    SpanPlan span = SpanPlan.of(station, rig.snapshot(), Length.ofMm(50)).plan();
    assertThat(span).isNotNull();
    List<StepResult> results =
        new Conformance(rig, station, span, rig.snapshot(), 0, PATIENCE, true).run();
    assertThat(results).extracting(StepResult::step).containsExactly(Step.values());
    return results.stream().collect(Collectors.toMap(StepResult::step, r -> r));
  }

  private static Set<Step> with(Map<Step, StepResult> results, Verdict verdict) {
    EnumSet<Step> steps = EnumSet.noneOf(Step.class);
    results.values().stream().filter(r -> r.verdict() == verdict).forEach(r -> steps.add(r.step()));
    return steps;
  }

  @Test
  void aDeviceThatKeepsTheContractPassesEveryStep() throws InterruptedException {
    Map<Step, StepResult> results = run(Stations.overMqtt());

    assertThat(results.values())
        .allSatisfy(r -> assertThat(r.verdict()).as(r.toString()).isEqualTo(Verdict.PASS));
    assertThat(rig.received).hasSize(rig.sentBeforeReconnect);
  }

  @ParameterizedTest
  @CsvSource({
    "UNREADABLE_SIGNAL, SIGNALS",
    "EMPTY_BOOT, FIRST_STATE",
    "OTHER_LAST_COUNT, FIRST_STATE",
    "REFUSES_ALL, ANSWER",
    "NO_ANSWER, ANSWER",
    "NO_ECHO, ECHO",
    "WRONG_WAY, IN_POSITION",
    "STOPS_SHORT, IN_POSITION",
    "DOES_NOT_MOVE, IN_POSITION",
    "NEVER_SAYS_REACHED, IN_POSITION",
    "SAYS_REACHED_EARLY, NOT_EARLY",
    "LEAVES_TRAVEL, IN_TRAVEL",
    "TAKES_OUT_OF_TRAVEL, OUT_OF_TRAVEL",
    "MOVES_THOUGH_REFUSING, OUT_OF_TRAVEL",
    "TAKES_OLD_NUMBERS, OLD_NUMBER",
    "TAKES_REPEATED_NUMBERS, REPEATED_NUMBER",
    "TAKES_EXPIRED, EXPIRED",
    "TAKES_OTHER_BOOTS, OTHER_BOOT",
    "COUNTS_TWICE, COUNT",
    "FORGETS_LAST_CUT, LAST_CUT",
    "OTHER_LAST_NUMBER, LAST_CUT",
    "OTHER_LAST_POSITION, LAST_CUT",
    "COUNTS_SECOND_TWICE, MORE_STROKES",
    "PRESSES_TWICE, ACKNOWLEDGE",
    "LOADS_TWICE, STICK_LOADED",
    "TAKES_WHILE_BUSY, SAW_BUSY",
    "TAKES_WITHOUT_REMOTE, REMOTE_OFF",
    "TAKES_IN_EMERGENCY, EMERGENCY_STOP",
    "LOSES_COUNT_ON_RECONNECT, STROKE_RECONNECT",
    "DOUBLES_COUNT_ON_RECONNECT, STROKE_RECONNECT",
    "MOVES_ON_RECONNECT, RECONNECT",
    "FORGETS_NUMBER_ON_RECONNECT, STROKE_RECONNECT",
    "SAME_BOOT_AFTER_POWER_UP, REBOOT",
    "MOVES_AFTER_POWER_UP, REBOOT",
    "OTHER_COUNT_AFTER_POWER_UP, REBOOT",
    "KEEPS_TARGET_AFTER_POWER_UP, REBOOT"
  })
  void aDeviceThatBreaksARuleFailsItsStep(FakeDevice.Flaw flaw, Step step)
      throws InterruptedException {
    rig.flaws.add(flaw);
    if (flaw == FakeDevice.Flaw.EMPTY_BOOT) {
      rig.boot = "";
    }
    if (flaw == FakeDevice.Flaw.OTHER_LAST_COUNT) {
      rig.count = 4;
      rig.lastCut = new LastCut("b1", 4, 0, Length.ofMm(500), null);
    }

    Map<Step, StepResult> results = run(Stations.overMqtt());

    assertThat(results.get(step).verdict()).as(results.get(step).seen()).isEqualTo(Verdict.FAIL);
    if (flaw != FakeDevice.Flaw.MOVES_ON_RECONNECT) {
      // That one shows at the first new connection already.
      assertThat(with(results, Verdict.FAIL).iterator().next()).isEqualTo(step);
    }
  }

  @Test
  void aStopThatMovedWhenItMustNotIsSentNothingMore() throws InterruptedException {
    rig.flaws.add(FakeDevice.Flaw.MOVES_THOUGH_REFUSING);

    Map<Step, StepResult> results = run(Stations.overMqtt());

    assertThat(rig.received).hasSize(3);
    assertThat(results.get(Step.OLD_NUMBER).verdict()).isEqualTo(Verdict.NOT_TESTED);
    assertThat(results.get(Step.OUT_OF_TRAVEL).seen()).contains("THE STOP MOVED");
  }

  @Test
  void whatNobodyDoesIsNotTestedAndFailsNothing() throws InterruptedException {
    rig.attended = false;

    Map<Step, StepResult> results = run(Stations.overMqtt());

    assertThat(with(results, Verdict.FAIL)).isEmpty();
    assertThat(with(results, Verdict.NOT_TESTED))
        .containsExactlyInAnyOrder(
            Step.COUNT,
            Step.LAST_CUT,
            Step.MORE_STROKES,
            Step.ACKNOWLEDGE,
            Step.STICK_LOADED,
            Step.SAW_BUSY,
            Step.REMOTE_OFF,
            Step.EMERGENCY_STOP,
            Step.STROKE_RECONNECT,
            Step.REBOOT);
    assertThat(results.get(Step.COUNT).seen()).isEqualTo("nobody did it within 120 s");
  }

  @Test
  void whatAProtocolCannotSayIsNotTested() throws InterruptedException {
    Map<Step, StepResult> results = run(Stations.standard());

    assertThat(with(results, Verdict.FAIL)).isEmpty();
    assertThat(with(results, Verdict.NOT_TESTED)).containsExactly(Step.EXPIRED, Step.OTHER_BOOT);
  }

  @Test
  void withoutAPermitNothingIsSent() throws InterruptedException {
    StationConfig station = Stations.overMqtt();
    SpanPlan span = SpanPlan.of(station, rig.snapshot(), Length.ofMm(50)).plan();
    rig.enabled = false;
    rig.attended = false;

    List<StepResult> results =
        new Conformance(rig, station, span, rig.snapshot(), 0, Duration.ofSeconds(1), true).run();

    assertThat(rig.received).isEmpty();
    assertThat(results)
        .filteredOn(r -> r.step() == Step.ANSWER)
        .singleElement()
        .satisfies(r -> assertThat(r.seen()).contains("drive is not enabled"));
  }

  @Test
  void theStopKeepsToItsSpanAndToItsTravel() {
    StationConfig station = Stations.standard();
    SpanPlan middle = SpanPlan.of(station, rig.snapshot(), Length.ofMm(50)).plan();
    assertThat(middle.low()).isEqualTo(Length.ofMm(475));
    assertThat(middle.high()).isEqualTo(Length.ofMm(525));
    rig.position = Length.ofMm(30);
    assertThat(SpanPlan.of(station, rig.snapshot(), Length.ofMm(50)).plan().low())
        .isEqualTo(Length.ofMm(20));
    rig.position = Length.ofMm(3);
    assertThat(SpanPlan.of(station, rig.snapshot(), Length.ofMm(34)).refusal())
        .contains("the travel leaves less");
    assertThat(SpanPlan.of(station, rig.snapshot(), Length.ofMm(201)).refusal())
        .contains("at most 200 mm");
  }

  /** A stop that does not refuse what is past its end is not found out by breaking it. */
  @Test
  void nothingIsSentPastTheEndUnlessItIsAskedFor() throws InterruptedException {
    StationConfig station = Stations.overMqtt();
    SpanPlan span = SpanPlan.of(station, rig.snapshot(), Length.ofMm(50)).plan();
    List<StepResult> results =
        new Conformance(rig, station, span, rig.snapshot(), 0, PATIENCE, false).run();

    assertThat(rig.received)
        .isNotEmpty()
        .noneMatch(target -> target.position().isMoreThan(station.travel().max()));
    assertThat(results)
        .filteredOn(r -> r.step() == Step.OUT_OF_TRAVEL)
        .singleElement()
        .satisfies(
            r -> {
              assertThat(r.verdict()).isEqualTo(Verdict.NOT_TESTED);
              assertThat(r.seen()).contains("--past-the-end");
            });
  }
}
