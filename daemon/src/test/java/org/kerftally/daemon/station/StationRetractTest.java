package org.kerftally.daemon.station;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.station.MovingStops.HOLD_MILLIS;
import static org.kerftally.daemon.station.MovingStops.INTERRUPTIONS;
import static org.kerftally.daemon.station.MovingStops.PARK_MILLIS;
import static org.kerftally.daemon.station.MovingStops.begin;
import static org.kerftally.daemon.station.MovingStops.last;
import static org.kerftally.daemon.station.MovingStops.moves;
import static org.kerftally.daemon.station.MovingStops.pass;
import static org.kerftally.daemon.station.MovingStops.retracting;
import static org.kerftally.daemon.station.MovingStops.rig;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.MoveDone;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.TargetRefused;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.length.Length;

/** After a cut the stop moves clear of the piece, and nothing is cut there. */
final class StationRetractTest {

  @Test
  void aStopThatIsNotToldToStaysAtItsTargets() {
    StationRig rig = rig(Length.ZERO, null);
    begin(rig, 300, 2);
    rig.work(20);
    pass(rig, 10 * PARK_MILLIS);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
    assertThat(rig.all(MoveSet.class)).isEmpty();
    assertThat(rig.sent).allMatch(target -> target.move() == null);
  }

  @Test
  void afterACutTheStopLeavesThePieceAndMovesInAgainWhenItHasBeenHeldThere() {
    StationRig rig = retracting();
    begin(rig, 300, 2);
    rig.cut();

    assertThat(last(rig).move()).isEqualTo(StopMove.RETRACT);
    assertThat(rig.saw.position).isEqualTo(Length.ofMm(305));
    assertThat(rig.senses.prompt().kind()).isEqualTo(Prompt.Kind.NONE);
    assertThat(rig.senses.prompt().text()).contains("retracted").contains("do not cut");

    pass(rig, HOLD_MILLIS - 1);
    assertThat(rig.all(MoveDone.class)).isEmpty();
    pass(rig, 1);
    assertThat(rig.all(MoveDone.class)).hasSize(1);
    assertThat(last(rig).part()).isEqualTo("p300");
    assertThat(rig.saw.position).isEqualTo(Length.ofMm(300));
    assertThat(rig.senses.prompt().kind()).isEqualTo(Prompt.Kind.CUT);
    assertThat(rig.saw.breaches).isEmpty();
  }

  /** A stop that sets off while the panel asks for a cut is cut at on its way. */
  @Test
  void thePanelIsToldBeforeATargetGoesOut() {
    StationRig rig = retracting();
    List<List<StationEffect>> withTarget = new ArrayList<>();
    rig.witness =
        new DecisionWitness() {
          @Override
          public void decided(Question question, Decision decision, boolean written) {
            if (decision.effects().stream().anyMatch(e -> e instanceof StationEffect.Send)) {
              withTarget.add(decision.effects());
            }
          }

          @Override
          public void failed(Question question, Throwable failure) {}
        };
    begin(rig, 300, 2);
    rig.cut();
    pass(rig, HOLD_MILLIS);

    assertThat(withTarget).hasSizeGreaterThanOrEqualTo(3);
    assertThat(withTarget)
        .anySatisfy(
            effects -> {
              assertThat(effects.get(0)).isInstanceOf(StationEffect.Show.class);
              assertThat(((StationEffect.Show) effects.get(0)).prompt().kind())
                  .isEqualTo(Prompt.Kind.NONE);
            })
        .allSatisfy(
            effects ->
                assertThat(effects.get(effects.size() - 1)).isInstanceOf(StationEffect.Send.class));
  }

  @Test
  void theStopDoesNotRetractWhileTheGuardIsDownOrTheBladeIsOut() {
    for (SawState state : List.of(SawState.GUARD_DOWN, SawState.BLADE_OUT, SawState.UNKNOWN)) {
      StationRig rig = retracting();
      begin(rig, 300, 2);
      int before = rig.sent.size();
      rig.saw.stroke();
      rig.saw.saw = state;
      rig.tell();
      pass(rig, 5_000);
      assertThat(rig.cuts(CutKind.PART)).hasSize(1);
      assertThat(rig.sent).as("%s", state).hasSize(before);

      rig.saw.saw = SawState.IDLE;
      rig.tell();
      assertThat(last(rig).move()).isEqualTo(StopMove.RETRACT);
    }
  }

  @Test
  void aNextTargetFartherOutMakesARetractNeedless() {
    StationRig rig = retracting();
    begin(rig, 300, 1, 400, 1);
    rig.cut();
    assertThat(moves(rig)).isEmpty();
    assertThat(last(rig).part()).isEqualTo("p400");

    rig.cut();
    assertThat(moves(rig)).containsExactly(StopMove.RETRACT);
    assertThat(rig.saw.position).isEqualTo(Length.ofMm(405));
  }

  @Test
  void aNextTargetBetweenThePieceAndTheRetractIsReachedByWayOfIt() {
    StationRig rig = retracting();
    begin(rig, 300, 1, 303, 1);
    rig.cut();
    assertThat(rig.saw.position).isEqualTo(Length.ofMm(305));
    pass(rig, HOLD_MILLIS);
    pass(rig, HOLD_MILLIS);
    assertThat(rig.saw.position).isEqualTo(Length.ofMm(303));
  }

  @Test
  void theLastPieceOfAJobIsLeftFreeTooAndTheJobEndsMeanwhile() {
    StationRig rig = retracting();
    begin(rig, 300, 1);
    rig.cut();
    assertThat(rig.all(JobEnded.class)).hasSize(1);
    assertThat(moves(rig)).containsExactly(StopMove.RETRACT);
    assertThat(rig.senses.prompt().text()).contains("retracted");

    rig.offer(StationRig.order("frame", 250, 1));
    assertThat(last(rig).move()).as("one at a time").isEqualTo(StopMove.RETRACT);
    pass(rig, HOLD_MILLIS);
    pass(rig, HOLD_MILLIS);
    assertThat(last(rig).job()).isEqualTo("frame");
  }

  @Test
  void atTheEndOfItsTravelTheStopRetractsAsFarAsItGoes() {
    StationRig rig = rig(Length.ofMm(500), null);
    rig.saw.stickLength = null;
    StationState cut =
        StationFold.apply(
            StationFold.applyAll(StationState.EMPTY, started()), partCutAt(Length.ofMm(3_800)));
    Turn turn = turn(rig, cut);
    assertThat(Moves.retract(turn, Length.ofMm(300))).isTrue();
    assertThat(turn.state().moving().set().position()).isEqualTo(Length.ofMm(4_000));

    StationState atEnd =
        StationFold.apply(
            StationFold.applyAll(StationState.EMPTY, started()), partCutAt(Length.ofMm(4_000)));
    assertThat(Moves.retract(turn(rig, atEnd), Length.ofMm(300))).isFalse();
  }

  private static List<org.kerftally.shared.event.StationEvent> started() {
    StationRig rig = retracting();
    begin(rig, 300, 2);
    return List.copyOf(rig.log);
  }

  private static CutBooked partCutAt(Length position) {
    return new CutBooked(
        "boot-1", 2, CutKind.TRIM, 0, null, null, 0, null, null, position, null, null, null);
  }

  private static Turn turn(StationRig rig, StationState state) {
    return new Turn(
        rig.rules,
        new Now(java.time.Instant.EPOCH, 0),
        state,
        Senses.NONE.seeing(rig.saw.snapshot()));
  }

  @Test
  void aStrokeWhereTheStopHasRetractedIsSuspectAndTheRestOfTheStickIsPlannedAnew() {
    StationRig rig = retracting();
    begin(rig, 300, 3);
    rig.cut();
    Length left = rig.state.run().stick().left();
    rig.cut();

    CutBooked cut = rig.cuts().get(rig.cuts().size() - 1);
    assertThat(cut.kind()).isEqualTo(CutKind.SUSPECT);
    assertThat(cut.part()).isNull();
    assertThat(cut.remark()).contains("retract");
    assertThat(cut.left()).isEqualTo(left.minus(Length.ofMm(305)).minus(StationRig.KERF));
    assertThat(rig.state.moving()).isNull();
    for (int i = 0; i < 40; i++) {
      if (!rig.operatorActs()) {
        pass(rig, HOLD_MILLIS);
      }
    }
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
    assertThat(rig.cuts(CutKind.PART)).hasSize(3);
  }

  @Test
  void aStrokeAfterTheRetractIsDoneIsStillKnownAsOneAtNoTarget() {
    StationRig rig = retracting();
    begin(rig, 300, 1);
    rig.cut();
    pass(rig, HOLD_MILLIS);
    assertThat(rig.all(MoveDone.class)).hasSize(1);
    rig.cut();
    CutBooked cut = rig.cuts().get(rig.cuts().size() - 1);
    assertThat(cut.kind()).isEqualTo(CutKind.SUSPECT);
    assertThat(cut.remark()).contains("retract");
  }

  @Test
  void aSuspectStrokeIsFollowedByNoRetract() {
    StationRig rig = retracting();
    begin(rig, 300, 2);
    rig.saw.stroke(Length.ofMm(290));
    rig.tell();
    assertThat(rig.cuts(CutKind.SUSPECT)).hasSize(1);
    assertThat(moves(rig)).isEmpty();
  }

  @Test
  void anInterruptionEndsARetractAndTheNextTargetFollowsTheAcknowledge() {
    for (int i = 0; i < INTERRUPTIONS.size(); i++) {
      StationRig rig = retracting();
      begin(rig, 300, 2);
      rig.cut();
      assertThat(rig.state.moving()).isNotNull();
      INTERRUPTIONS.get(i).accept(rig);
      int before = rig.sent.size();
      pass(rig, 20 * HOLD_MILLIS);
      assertThat(rig.sent).as("interruption %d", i).hasSize(before);

      rig.acknowledge();
      assertThat(rig.sent).as("interruption %d", i).hasSize(before + 1);
      assertThat(last(rig).part()).isEqualTo("p300");
      assertThat(rig.saw.breaches).isEmpty();
    }
  }

  @Test
  void aCutBookedAfterAnInterruptionOwesNoRetract() {
    StationRig rig = retracting();
    begin(rig, 300, 2);
    rig.disconnect();
    rig.saw.stroke();
    rig.connect();
    assertThat(rig.cuts(CutKind.PART)).hasSize(1);
    rig.acknowledge();
    assertThat(moves(rig)).containsExactly(StopMove.RETRACT);
  }

  @Test
  void aRetractThatIsRefusedIsAskedForAgainAndAtLastHoldsTheStationLikeATarget() {
    StationRig rig = retracting();
    begin(rig, 300, 2);
    rig.saw.refusing = true;
    rig.cut();
    for (int i = 0; i < 10; i++) {
      pass(rig, 600);
    }
    assertThat(rig.all(TargetRefused.class)).hasSize(3);
    assertThat(rig.all(FaultRaised.class))
        .extracting(FaultRaised::code)
        .containsExactly(Targets.REFUSED);
    assertThat(rig.senses.prompt().kind()).isEqualTo(Prompt.Kind.ACKNOWLEDGE);

    rig.saw.refusing = false;
    rig.acknowledge();
    assertThat(last(rig).part()).as("the job goes on").isEqualTo("p300");
  }

  @Test
  void aRetractThatDoesNotGetThereHoldsTheStationAndTheJobGoesOnAfterTheAcknowledge() {
    for (boolean forgotten : new boolean[] {false, true}) {
      StationRig rig = retracting();
      begin(rig, 300, 2);
      rig.cut();
      rig.saw.reached = false;
      rig.saw.activeSeq = forgotten ? 0 : rig.saw.activeSeq;
      rig.tell();
      for (int i = 0; i < 4; i++) {
        pass(rig, 4_000);
      }
      assertThat(rig.all(FaultRaised.class))
          .extracting(FaultRaised::code)
          .containsExactly(Stall.NOT_REACHED);
      rig.acknowledge();
      assertThat(last(rig).part()).isEqualTo("p300");
    }
  }

  @Test
  void aRejectionWhileTheStopRetractsIsTakenAndPlannedForAtOnce() {
    StationRig rig = retracting();
    begin(rig, 300, 2);
    rig.cut();
    rig.saw.rejected++;
    rig.tell();
    assertThat(rig.state.run().missingCount()).isEqualTo(2);
    assertThat(rig.state.run().replanWanted()).isFalse();
    pass(rig, HOLD_MILLIS);
    pass(rig, HOLD_MILLIS);
    assertThat(last(rig).part()).isEqualTo("p300");
  }
}
