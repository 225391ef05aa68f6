package org.kerftally.daemon.conformance;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.length.Length;

/** A move is told as it was, and what breaks it is named with its key. */
final class MoveTrialTest {

  private final FakeDevice device = new FakeDevice();
  private final StationConfig station = Stations.standard();

  private TrialPlan plan(Length by) {
    TrialPlan plan = TrialPlan.of(station, device.snapshot(), by, 0).plan();
    assertThat(plan).isNotNull();
    return plan;
  }

  private MoveFacts move(Length by) throws InterruptedException {
    return MoveTrial.send(device, station, plan(by), device.snapshot());
  }

  private List<String> wrong(FakeDevice.Flaw flaw) throws InterruptedException {
    device.flaws.add(flaw);
    MoveFacts facts = move(Length.ofMm(2));
    assertThat(facts.isGood()).isFalse();
    return MoveDiagnosis.of(facts, new SignalKeys(station));
  }

  @Test
  void aGoodMoveHasNothingWrongAndAllItsTimes() throws InterruptedException {
    MoveFacts facts = move(Length.ofMm(-2));

    assertThat(facts.isGood()).isTrue();
    assertThat(MoveDiagnosis.of(facts, new SignalKeys(station))).isEmpty();
    assertThat(facts.off()).isEqualTo(Length.ZERO);
    assertThat(facts.answerAfter()).isPositive();
    assertThat(facts.echoAfter()).isGreaterThanOrEqualTo(facts.answerAfter());
    assertThat(facts.startAfter()).isGreaterThan(facts.echoAfter());
    assertThat(facts.reachedAfter()).isGreaterThan(facts.startAfter());
    assertThat(device.received).hasSize(1);
    assertThat(device.received.get(0).boot()).isEqualTo("b1");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "NO_ANSWER | did not answer within the target's validity | nodes.MoveAbsolute",
        "REFUSES_ALL | refused the target: error 7 | error 7",
        "NO_ECHO | does not echo its number | signals.ActiveSequence",
        "WRONG_WAY | moved the wrong way: -2 mm in place of +2 mm | `reversed`",
        "TEN_TIMES_THE_STEP | a factor of 10 | `unit`",
        "READS_INCHES | a factor of 1/25.4 | signals.PositionActualValue",
        "DOES_NOT_MOVE | position did not change, although the device says in position | signals.PositionActualValue",
        "STOPS_SHORT | stands -0.5 mm from its target | outside its window",
        "SAYS_REACHED_EARLY | said in position while it read 500 mm | signals.TargetReached",
        "NEVER_SAYS_REACHED | within its window, but the device does not say so | signals.TargetReached",
        "STROKE_WHILE_MOVING | counted 1 saw cycle meanwhile | lock the blade out",
        "LINK_LOST_WHILE_MOVING | the link was lost (the session is gone) | Nothing is sent again",
        "NOT_SENT | nothing was sent | link"
      })
  void whatIsWrongIsNamedWithWhereToMendIt(FakeDevice.Flaw flaw, String what, String where)
      throws InterruptedException {
    if (flaw == FakeDevice.Flaw.STROKE_WHILE_MOVING) {
      device.flaws.add(flaw);
      assertThat(MoveDiagnosis.of(move(Length.ofMm(2)), new SignalKeys(station)))
          .first()
          .asString()
          .contains(what, where);
      return;
    }
    assertThat(wrong(flaw)).first().asString().contains(what, where);
    assertThat(device.received).hasSizeLessThan(2);
  }

  @Test
  void aStopThatGoesTooFarIsShoutedAtOnce() throws InterruptedException {
    device.flaws.add(FakeDevice.Flaw.TEN_TIMES_THE_STEP);

    MoveFacts facts = move(Length.ofMm(5));

    assertThat(facts.moved()).isEqualTo(Length.ofMm(50));
    assertThat(device.said).singleElement().asString().contains("PRESS THE EMERGENCY STOP");
  }

  @Test
  void theNumberIsAboveAllThatDeviceAndLogKnow() {
    device.active = 7;
    device.lastCut = new LastCut("b0", 3, 12, Length.ofMm(400), null);

    assertThat(TrialPlan.of(station, device.snapshot(), Length.ofMm(2), 5).plan().seq())
        .isEqualTo(13);
    assertThat(TrialPlan.of(station, device.snapshot(), Length.ofMm(2), 99).plan().seq())
        .isEqualTo(100);
  }

  @Test
  void aStepIsSmallInBothDirectionsAndStaysInTheTravel() {
    assertThat(refusal(station, Length.ofNm(10_000_001))).contains("10 mm at most");
    assertThat(refusal(station, Length.ofMm(-11))).contains("10 mm at most");
    assertThat(refusal(station, Length.ofNm(-399_999))).contains("too small");
    assertThat(refusal(station, Length.ZERO)).contains("too small");
    assertThat(plan(Length.ofMm(10)).to()).isEqualTo(Length.ofMm(510));
    device.position = Length.ofMm(25);
    assertThat(refusal(station, Length.ofMm(-6))).contains("outside the travel of 20 mm");
    device.position = Length.ofNm(3_999_500_000L);
    assertThat(refusal(station, Length.ofMm(2))).contains("to 4000 mm");
  }

  @Test
  void travelIsKeptThroughTheCalibration() {
    StationConfig shifted = Stations.with(Length.ofMm(-470), QualityConfig.NONE);

    assertThat(refusal(shifted, Length.ofMm(-10))).isNull();
    device.position = Length.ofMm(495);
    assertThat(refusal(shifted, Length.ofMm(-6))).contains("outside the travel");
  }

  @Test
  void whatAnApproachGoesBeyondCountsToo() {
    QualityConfig quality =
        new QualityConfig(Duration.ZERO, Duration.ZERO, QualityConfig.From.ABOVE, Length.ofMm(3));
    StationConfig approaching = Stations.with(Length.ZERO, quality);

    assertThat(refusal(approaching, Length.ofMm(8))).contains("approach from above");
    assertThat(TrialPlan.of(approaching, device.snapshot(), Length.ofMm(7), 0).plan().beyond())
        .isEqualTo(Length.ofMm(3));
  }

  private String refusal(StationConfig of, Length by) {
    return TrialPlan.of(of, device.snapshot(), by, 0).refusal();
  }
}
