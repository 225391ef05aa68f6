package org.kerftally.daemon.station;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;

final class StationCoreTest {

  private final StationRig rig = new StationRig(Layout.OUTFEED_STOP, false, 1);

  private void armed(int... parts) {
    rig.start();
    rig.offer(StationRig.order("hive", parts));
    rig.acknowledge();
  }

  @Test
  void aJobIsCutToItsEndOnePositionAtATime() {
    armed(300, 4, 150, 2);
    rig.work(100);

    assertThat(rig.all(JobEnded.class)).singleElement().matches(e -> e.shortages().isEmpty());
    assertThat(rig.cuts(CutKind.PART)).hasSize(6);
    assertThat(rig.cuts(CutKind.TRIM)).hasSize(2);
    assertThat(rig.cuts()).hasSize(rig.saw.truth.size());
    assertThat(rig.sent).extracting(Target::seq).containsExactly(1L, 2L, 3L, 4L, 5L, 6L, 7L, 8L);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  @Test
  void nothingMovesBeforeTheOperatorHasAcknowledged() {
    rig.start();
    rig.offer(StationRig.order("hive", 300, 1));
    rig.saw.stickLoaded++;
    rig.tell();
    rig.tick(60_000);

    assertThat(rig.sent).isEmpty();
    assertThat(rig.mode()).isEqualTo(StationMode.HELD);
    assertThat(rig.senses.prompt().kind()).isEqualTo(Prompt.Kind.ACKNOWLEDGE);
  }

  @Test
  void noTargetIsSentWhileTheGuardIsDownOrTheBladeIsOut() {
    for (SawState state :
        new SawState[] {SawState.GUARD_DOWN, SawState.BLADE_OUT, SawState.UNKNOWN}) {
      StationRig busy = new StationRig(Layout.OUTFEED_STOP, false, 1);
      busy.start();
      busy.offer(StationRig.order("hive", 300, 2));
      busy.acknowledge();
      busy.saw.saw = state;
      busy.saw.stickLoaded++;
      busy.tell();
      busy.tick(10_000);
      assertThat(busy.sent).as("%s", state).isEmpty();

      busy.saw.saw = SawState.IDLE;
      busy.tell();
      assertThat(busy.sent).as("%s over", state).hasSize(1);
    }
  }

  @Test
  void aTargetIsWrittenBeforeItIsSent() {
    for (int n = 0; n < 40; n++) {
      StationRig dying = new StationRig(Layout.OUTFEED_STOP, true, 1);
      dying.dieAfterDecisions = n;
      dying.start();
      dying.offer(StationRig.order("hive", 300, 3));
      dying.acknowledge();
      dying.work(20);
      assertThat(dying.all(TargetSet.class).size()).isGreaterThanOrEqualTo(dying.sent.size());
    }
  }

  @Test
  void aTargetNamesThePowerUpItIsMeantFor() {
    armed(300, 2);
    rig.work(3);
    int before = rig.sent.size();
    rig.disconnect();
    rig.saw.powerCycle();
    rig.connect();
    rig.work(10);

    assertThat(rig.sent.subList(0, before)).isNotEmpty().allMatch(t -> "boot-1".equals(t.boot()));
    assertThat(rig.sent.subList(before, rig.sent.size()))
        .isNotEmpty()
        .allMatch(t -> "boot-2".equals(t.boot()));
  }

  @Test
  void aCutReportedTwiceIsBookedOnce() {
    armed(300, 2);
    rig.work(2);
    int before = rig.cuts().size();
    rig.saw.stroke();
    LinkEvent.CutReported report = new LinkEvent.CutReported(rig.saw.last);
    rig.input(new StationInput.FromLink(report));
    rig.input(new StationInput.FromLink(report));
    rig.tell();
    rig.tell();

    assertThat(rig.cuts()).hasSize(before + 1);
  }

  @Test
  void cyclesThatNobodySawAreBookedAsUnattributedNeverAsParts() {
    armed(300, 2);
    rig.work(2);
    int parts = rig.cuts(CutKind.PART).size();
    rig.saw.activeSeq = 0;
    rig.saw.stroke();
    rig.saw.stroke();
    rig.saw.stroke();
    rig.tell();

    assertThat(rig.cuts(CutKind.UNATTRIBUTED)).hasSize(2);
    assertThat(rig.cuts(CutKind.SUSPECT)).hasSize(1);
    assertThat(rig.cuts(CutKind.PART)).hasSize(parts);
  }

  @Test
  void aDoubleStrokeCountsOnePartAndOneSuspectCycle() {
    armed(300, 3);
    rig.work(2);
    rig.saw.stroke();
    rig.tell();
    rig.saw.activeSeq = rig.cuts().get(rig.cuts().size() - 1).seq();
    rig.saw.stroke();
    rig.tell();

    assertThat(rig.cuts(CutKind.PART)).hasSize(1);
    assertThat(rig.cuts(CutKind.SUSPECT)).hasSize(1);
  }

  @Test
  void aCutOutOfPositionIsSuspectAndItsPartIsMadeAgain() {
    armed(300, 3);
    rig.work(2);
    rig.saw.stroke(rig.saw.position.plus(Length.ofMm(2)));
    rig.tell();
    rig.work(50);

    assertThat(rig.cuts(CutKind.SUSPECT)).singleElement().matches(c -> c.remark() != null);
    assertThat(rig.cuts(CutKind.PART)).hasSize(3);
    assertThat(rig.all(Replanned.class)).isNotEmpty();
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  @Test
  void aRejectedPieceIsMadeAgainEvenWhenItWasTheLastOne() {
    armed(300, 2);
    rig.work(50);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
    rig.saw.rejected++;
    rig.tell();
    rig.work(50);

    assertThat(rig.all(PieceRejected.class)).hasSize(1);
    assertThat(rig.all(JobReopened.class)).hasSize(1);
    assertThat(rig.cuts(CutKind.PART)).hasSize(3);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  @Test
  void theLastPieceOfAJobRejectedWhileTheNextIsCutIsMadeAfterIt() {
    armed(300, 2);
    rig.offer(StationRig.order("stand", 400, 1));
    for (int i = 0; i < 20 && rig.all(JobEnded.class).isEmpty(); i++) {
      rig.work(1);
    }
    rig.saw.rejected++;
    rig.tell();
    rig.work(60);

    assertThat(rig.all(JobReopened.class)).extracting(JobReopened::job).containsExactly("hive");
    assertThat(rig.cuts(CutKind.PART)).hasSize(4);
    assertThat(rig.all(JobEnded.class))
        .extracting(JobEnded::job)
        .containsExactly("hive", "stand", "hive");
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  @Test
  void aSecondPressOfRejectTakesNoSecondPiece() {
    armed(300, 2);
    rig.work(3);
    rig.saw.rejected++;
    rig.tell();
    rig.saw.rejected++;
    rig.tell();

    assertThat(rig.all(PieceRejected.class)).hasSize(1);
  }

  @Test
  void aStickThatMeasuresShortIsReplannedAtOnce() {
    armed(300, 3);
    rig.saw.stickLength = Length.ofMm(700);
    rig.saw.stickLoaded++;
    rig.tell();
    rig.saw.stickLength = null;
    rig.work(50);

    assertThat(rig.all(Replanned.class)).hasSize(1);
    assertThat(rig.all(StickLoaded.class)).hasSize(2);
    assertThat(rig.cuts(CutKind.PART)).hasSize(3);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  @Test
  void aDefectVoidsTheTargetAndPlansTheRestAnew() {
    armed(300, 3);
    rig.work(3);
    rig.saw.defects++;
    rig.saw.defectAt = Length.ofMm(100);
    rig.tell();
    rig.work(50);

    assertThat(rig.all(TargetVoided.class)).isNotEmpty();
    assertThat(rig.cuts(CutKind.PART)).hasSize(3);
    assertThat(rig.all(StickDone.class).get(0).rest()).isEqualTo(Length.ofMm(100));
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  @Test
  void anEmergencyStopNeedsTheDeviceAndTheOperatorToClear() {
    armed(300, 3);
    rig.work(2);
    rig.saw.fault = 1;
    rig.saw.reached = false;
    rig.tell();
    assertThat(rig.mode()).isEqualTo(StationMode.ABORTED);
    rig.acknowledge();
    assertThat(rig.mode()).as("acknowledged too early").isEqualTo(StationMode.ABORTED);

    rig.saw.fault = 0;
    rig.tell();
    int sent = rig.sent.size();
    rig.tick(60_000);
    assertThat(rig.mode()).as("cleared only by the device").isEqualTo(StationMode.ABORTED);
    assertThat(rig.sent).hasSize(sent);

    rig.acknowledge();
    rig.work(50);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
    assertThat(rig.all(FaultRaised.class)).extracting(FaultRaised::code).contains("emergency-stop");
    assertThat(rig.all(FaultCleared.class)).hasSize(1);
  }

  @Test
  void aLostLinkHoldsDispatchUntilItIsBackAndTheOperatorHasAcknowledged() {
    armed(300, 3);
    rig.work(2);
    int sent = rig.sent.size();
    rig.disconnect();
    rig.tick(60_000);
    assertThat(rig.mode()).isEqualTo(StationMode.SUSPENDED);
    assertThat(rig.sent).hasSize(sent);

    rig.connect();
    rig.tick(60_000);
    assertThat(rig.mode()).as("back, but nobody has looked").isEqualTo(StationMode.HELD);
    assertThat(rig.sent).hasSize(sent);

    rig.acknowledge();
    rig.work(50);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  @Test
  void aTargetWithoutAnAnswerIsVoidAndAskedAgainAFewTimesOnly() {
    armed(300, 1);
    rig.linked = false;
    rig.saw.stickLoaded++;
    rig.input(new StationInput.FromLink(new LinkEvent.Snapshot(rig.saw.snapshot())));
    for (int i = 0; i < 100; i++) {
      rig.tick(1_000);
    }

    assertThat(rig.sent).hasSize(3);
    assertThat(rig.all(TargetVoided.class)).hasSize(3);
    assertThat(rig.mode()).isEqualTo(StationMode.ABORTED);
    assertThat(rig.senses.prompt().text()).contains("does not answer");
  }

  @Test
  void anEchoOfTheSequenceNumberIsAnAnswer() {
    armed(300, 1);
    rig.linked = false;
    rig.saw.stickLoaded++;
    rig.input(new StationInput.FromLink(new LinkEvent.Snapshot(rig.saw.snapshot())));
    rig.linked = true;
    rig.saw.take(rig.sent.get(0));
    rig.tell();
    rig.tick(100_000);

    assertThat(rig.state.target()).isNotNull();
    assertThat(rig.state.target().answered()).isTrue();
  }

  @Test
  void aTargetsNumberIsAboveThoseThatSomebodyElseGaveTheDevice() {
    armed(300, 2);
    rig.work(2);
    long used = rig.sent.get(rig.sent.size() - 1).seq();
    rig.disconnect();
    rig.saw.activeSeq = used + 40;
    rig.connect();
    rig.acknowledge();
    rig.work(10);

    assertThat(rig.sent.subList(2, rig.sent.size()))
        .isNotEmpty()
        .allMatch(target -> target.seq() > used + 40);
    assertThat(rig.cuts(CutKind.PART)).hasSize(2);
  }

  @Test
  void theSquaringCutOfAnOutfeedStopStandsNoNearerThanItsTravel() {
    armed(300, 1);
    rig.work(1);
    assertThat(rig.sent.get(0).position()).isEqualTo(Length.ofMm(20));
  }

  @Test
  void aPusherStandsAtWhatMustRemainBehindTheBlade() {
    StationRig pusher = new StationRig(Layout.INFEED_PUSHER, true, 1);
    pusher.start();
    pusher.offer(StationRig.order("frame", 300, 2, 100, 1));
    pusher.acknowledge();
    pusher.work(50);

    // L - t - sum(p + k) with L = 1000, t = 10, k = 3
    assertThat(pusher.sent)
        .extracting(Target::position)
        .containsExactly(Length.ofMm(990), Length.ofMm(687), Length.ofMm(384), Length.ofMm(281));
    assertThat(pusher.cuts(CutKind.PART))
        .extracting(c -> c.actual())
        .containsExactly(Length.ofMm(300), Length.ofMm(300), Length.ofMm(100));
  }

  @Test
  void aPieceThatRemainsFlushIsCountedWithoutACycle() {
    // 1000 - 10 = 990 = 300 + 3 + 684 + 3 + 0: the last piece is what the second cut leaves over
    armed(300, 1, 687, 1);
    rig.work(50);

    assertThat(rig.all(PieceRemained.class)).hasSize(1);
    assertThat(rig.cuts(CutKind.PART)).hasSize(1);
    assertThat(rig.all(JobEnded.class)).singleElement().matches(e -> e.shortages().isEmpty());
  }

  @Test
  void aShortageEndsTheJobAndIsNamedPartByPart() {
    rig.sticksLeft = 1;
    armed(300, 5);
    rig.work(50);

    assertThat(rig.all(JobEnded.class).get(0).shortages())
        .singleElement()
        .matches(s -> s.part().equals("p300") && s.missing() == 2);
  }

  @Test
  void aJobThatWasTakenShortIsPlannedAnewWhenItBegins() {
    rig.start();
    rig.sticksLeft = 1;
    rig.offer(StationRig.order("hive", 300, 5));
    rig.sticksLeft = 10;
    rig.acknowledge();
    rig.work(50);

    assertThat(rig.all(JobEnded.class)).singleElement().matches(e -> e.shortages().isEmpty());
    assertThat(rig.cuts(CutKind.PART)).hasSize(5);
  }

  @Test
  void theFoldOfTheLogIsTheLiveState() {
    armed(300, 4);
    rig.work(5);
    rig.disconnect();
    rig.connect();
    rig.acknowledge();
    rig.work(50);

    assertThat(StationFold.applyAll(StationState.EMPTY, rig.log)).isEqualTo(rig.state);
  }

  @Test
  void aPausedStationSetsNoTarget() {
    armed(300, 2);
    rig.saw.paused = true;
    rig.saw.stickLoaded++;
    rig.tell();
    assertThat(rig.sent).isEmpty();
    assertThat(rig.mode()).isEqualTo(StationMode.HELD);

    rig.saw.paused = false;
    rig.tell();
    assertThat(rig.sent).hasSize(1);
  }
}
