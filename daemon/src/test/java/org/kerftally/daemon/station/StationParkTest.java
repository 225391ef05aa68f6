package org.kerftally.daemon.station;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.station.MovingStops.BY;
import static org.kerftally.daemon.station.MovingStops.INTERRUPTIONS;
import static org.kerftally.daemon.station.MovingStops.PARK;
import static org.kerftally.daemon.station.MovingStops.PARK_MILLIS;
import static org.kerftally.daemon.station.MovingStops.begin;
import static org.kerftally.daemon.station.MovingStops.last;
import static org.kerftally.daemon.station.MovingStops.moves;
import static org.kerftally.daemon.station.MovingStops.parking;
import static org.kerftally.daemon.station.MovingStops.pass;
import static org.kerftally.daemon.station.MovingStops.retracting;
import static org.kerftally.daemon.station.MovingStops.rig;

import org.junit.jupiter.api.Test;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.MoveDone;
import org.kerftally.shared.event.StationEvent.TargetRefused;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.length.Length;

/** Without work the stop goes to its park position, and nothing is cut there. */
final class StationParkTest {

  @Test
  void withoutWorkTheStopParksOnceAndNotAgainBeforeAnotherTarget() {
    StationRig rig = parking();
    begin(rig, 300, 1);
    rig.cut();
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
    pass(rig, PARK_MILLIS - 1);
    assertThat(moves(rig)).isEmpty();
    pass(rig, 1);
    assertThat(moves(rig)).containsExactly(StopMove.PARK);
    assertThat(rig.saw.position).isEqualTo(PARK);
    assertThat(rig.all(MoveDone.class)).hasSize(1);

    rig.saw.position = Length.ofMm(500);
    for (int i = 0; i < 5; i++) {
      pass(rig, PARK_MILLIS);
    }
    assertThat(moves(rig)).hasSize(1);

    rig.offer(StationRig.order("frame", 250, 1));
    rig.work(10);
    assertThat(rig.all(JobEnded.class)).hasSize(2);
    pass(rig, PARK_MILLIS);
    assertThat(moves(rig)).containsExactly(StopMove.PARK, StopMove.PARK);
    assertThat(rig.saw.breaches).isEmpty();
  }

  @Test
  void theOperatorIsToldThatTheStopParksAndAJobThatComesMeanwhileFollowsIt() {
    StationRig rig = parking();
    begin(rig, 300, 1);
    rig.cut();
    rig.saw.slow = true;
    pass(rig, PARK_MILLIS);
    assertThat(rig.senses.prompt().text()).contains("park position").contains("Do not cut");
    rig.offer(StationRig.order("frame", 250, 1));
    assertThat(rig.senses.prompt().text()).contains("park position");
    assertThat(last(rig).move()).isEqualTo(StopMove.PARK);

    rig.saw.slow = false;
    rig.saw.reached = true;
    rig.tell();
    assertThat(last(rig).job()).isEqualTo("frame");
    rig.work(10);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  @Test
  void theStopNeverParksBeforeAnAcknowledge() {
    for (int i = 0; i < INTERRUPTIONS.size(); i++) {
      StationRig rig = parking();
      begin(rig, 300, 1);
      rig.cut();
      INTERRUPTIONS.get(i).accept(rig);
      for (int n = 0; n < 5; n++) {
        pass(rig, PARK_MILLIS);
      }
      assertThat(moves(rig)).as("interruption %d", i).isEmpty();

      rig.acknowledge();
      pass(rig, PARK_MILLIS);
      assertThat(moves(rig)).as("interruption %d", i).containsExactly(StopMove.PARK);
    }
  }

  @Test
  void aStopThatWasInterruptedOnItsWayIsNotSaidToBeMoving() {
    StationRig rig = parking();
    begin(rig, 300, 1);
    rig.cut();
    rig.saw.slow = true;
    pass(rig, PARK_MILLIS);
    rig.restart();
    assertThat(rig.senses.prompt().text()).isEmpty();
    rig.acknowledge();
    assertThat(rig.state.moving()).isNull();
    pass(rig, 10 * PARK_MILLIS);
    pass(rig, 10 * PARK_MILLIS);
    assertThat(moves(rig)).as("tried once").hasSize(1);
  }

  @Test
  void theStopParksOnlyWithEveryPermitAndTheSawIdleThroughout() {
    StationRig rig = parking();
    begin(rig, 300, 1);
    rig.cut();
    pass(rig, PARK_MILLIS / 2);
    rig.saw.saw = SawState.GUARD_DOWN;
    rig.tell();
    pass(rig, PARK_MILLIS);
    rig.saw.saw = SawState.IDLE;
    rig.tell();
    assertThat(moves(rig)).isEmpty();
    rig.saw.paused = true;
    rig.tell();
    pass(rig, PARK_MILLIS);
    rig.saw.paused = false;
    rig.saw.enabled = false;
    rig.tell();
    pass(rig, PARK_MILLIS);
    rig.saw.enabled = true;
    rig.tell();
    pass(rig, PARK_MILLIS - 1);
    assertThat(moves(rig)).isEmpty();
    pass(rig, 1);
    assertThat(moves(rig)).containsExactly(StopMove.PARK);
  }

  @Test
  void parkingThatIsRefusedNotAnsweredOrNotReachedIsGivenUpAndHoldsNoJob() {
    for (int how = 0; how < 3; how++) {
      StationRig rig = parking();
      begin(rig, 300, 1);
      rig.cut();
      rig.saw.refusing = how == 0;
      rig.saw.deaf = how == 1;
      rig.saw.slow = how == 2;
      for (int i = 0; i < 20; i++) {
        pass(rig, PARK_MILLIS / 10);
      }
      assertThat(moves(rig)).as("how %d", how).hasSize(1);
      assertThat(rig.all(TargetRefused.class)).hasSize(how == 0 ? 1 : 0);
      assertThat(rig.all(TargetVoided.class)).hasSize(how == 0 ? 0 : 1);
      assertThat(rig.all(FaultRaised.class)).isEmpty();
      assertThat(rig.state.misses()).isZero();

      rig.saw.refusing = false;
      rig.saw.deaf = false;
      rig.saw.slow = false;
      rig.offer(StationRig.order("frame", 250, 1));
      rig.work(10);
      assertThat(rig.mode()).as("how %d", how).isEqualTo(StationMode.COMPLETE);
    }
  }

  @Test
  void aStrokeWhereTheStopIsParkedIsSuspectAndTakesNothingFromAnyStick() {
    StationRig rig = parking();
    begin(rig, 300, 1);
    rig.cut();
    pass(rig, PARK_MILLIS);
    rig.cut();
    CutBooked cut = rig.cuts().get(rig.cuts().size() - 1);
    assertThat(cut.kind()).isEqualTo(CutKind.SUSPECT);
    assertThat(cut.remark()).contains("park");
    assertThat(cut.left()).isNull();
  }

  @Test
  void aStopThatStandsAtItsParkPositionIsNotSentThere() {
    StationRig rig = rig(Length.ZERO, Length.ofMm(300));
    begin(rig, 300, 1);
    rig.cut();
    pass(rig, 2 * PARK_MILLIS);
    pass(rig, 2 * PARK_MILLIS);
    assertThat(moves(rig)).isEmpty();
  }

  @Test
  void theStopParksOnlyAfterTheLastPieceHasBeenLeftFree() {
    StationRig rig = rig(BY, PARK);
    begin(rig, 300, 1);
    rig.cut();
    for (int i = 0; i < 5; i++) {
      pass(rig, PARK_MILLIS);
    }
    assertThat(moves(rig)).containsExactly(StopMove.RETRACT, StopMove.PARK);
    assertThat(rig.all(MoveDone.class)).hasSize(2);
  }

  @Test
  void anAnswerToAnOldNumberChangesNothingWhileTheStopMoves() {
    StationRig rig = retracting();
    begin(rig, 300, 2);
    rig.cut();
    long old = rig.state.moving().set().seq() - 1;
    rig.input(new StationInput.FromLink(new LinkEvent.Replied(old, false, "late")));
    assertThat(rig.state.moving()).isNotNull();
    assertThat(rig.all(TargetRefused.class)).isEmpty();
  }
}
