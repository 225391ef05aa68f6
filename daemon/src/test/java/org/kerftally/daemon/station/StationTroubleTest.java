package org.kerftally.daemon.station;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.PressIgnored;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;

/** Holds what a station does in situations that the simulation of whole shifts came upon. */
final class StationTroubleTest {

  private final StationRig rig = new StationRig(Layout.OUTFEED_STOP, false, 1);

  private static void arm(StationRig rig, int... parts) {
    rig.start();
    rig.offer(StationRig.order("hive", parts));
    rig.acknowledge();
  }

  @Test
  void anAcknowledgePressedWhileTheLinkWasAwayMovesNothing() {
    arm(rig, 300, 3);
    rig.work(2);
    int sent = rig.sent.size();
    rig.disconnect();
    rig.saw.stroke();
    rig.saw.acknowledged++;
    rig.connect();
    rig.tick(60_000);

    assertThat(rig.sent).hasSize(sent);
    assertThat(rig.senses.prompt().kind()).isEqualTo(Prompt.Kind.ACKNOWLEDGE);
    assertThat(rig.all(PressIgnored.class))
        .extracting(PressIgnored::button)
        .containsExactly("acknowledged");
    rig.acknowledge();
    assertThat(rig.sent).hasSize(sent + 1);
  }

  @Test
  void anAcknowledgePressedWhileTheServiceWasDownMovesNothing() {
    arm(rig, 300, 3);
    rig.work(2);
    int sent = rig.sent.size();
    rig.saw.stroke();
    rig.saw.acknowledged++;
    rig.restart();
    rig.tick(60_000);

    assertThat(rig.sent).hasSize(sent);
    assertThat(rig.mode()).isEqualTo(StationMode.HELD);
  }

  @Test
  void cyclesOfAPowerUpThatWasMissedAreBookedUnderItsName() {
    arm(rig, 300, 3);
    rig.work(2);
    int before = rig.cuts().size();
    rig.disconnect();
    rig.saw.powerCycle();
    rig.saw.stroke();
    rig.saw.stroke();
    rig.saw.powerCycle();
    rig.connect();

    assertThat(rig.cuts().subList(before, rig.cuts().size()))
        .extracting(CutBooked::boot, CutBooked::count, CutBooked::kind)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple("boot-2", 2L, CutKind.UNATTRIBUTED),
            org.assertj.core.groups.Tuple.tuple("boot-2", 3L, CutKind.SUSPECT));
  }

  /** A count that went on would be above what it was, once a cycle was made. */
  @Test
  void aCycleThatBringsAForgetfulDeviceToTheOldCountIsBooked() {
    rig.saw.memory = false;
    arm(rig, 300, 3);
    rig.work(2);
    int before = rig.cuts().size();
    rig.disconnect();
    rig.saw.powerCycle();
    for (int i = 0; i < before; i++) {
      rig.saw.stroke();
    }
    rig.connect();

    assertThat(rig.cuts().subList(before, rig.cuts().size()))
        .extracting(CutBooked::boot)
        .hasSize(before)
        .containsOnly("boot-2");
  }

  @Test
  void aLastCutThatOutlivedTwoPowerUpsIsNotBookedAgain() {
    arm(rig, 300, 3);
    rig.work(2);
    int before = rig.cuts().size();
    for (int i = 0; i < 3; i++) {
      rig.disconnect();
      rig.saw.powerCycle();
      rig.connect();
    }

    assertThat(rig.cuts()).hasSize(before);
  }

  @Test
  void aStopThatStandsStillShortOfItsTargetIsAFaultUntilSomebodyHasLooked() {
    arm(rig, 300, 2);
    rig.work(2);
    rig.saw.reached = false;
    rig.saw.position = Length.ofMm(222);
    rig.tell();
    rig.tick(5_000);
    rig.saw.position = Length.ofMm(223);
    rig.tell();
    rig.tick(9_000);
    assertThat(rig.all(FaultRaised.class)).as("it still moved").isEmpty();

    rig.saw.position = Length.ofNm(223_003_000);
    rig.tell();
    rig.tick(2_000);
    assertThat(rig.all(FaultRaised.class)).singleElement().matches(f -> f.text().contains("223"));
    assertThat(rig.senses.prompt().kind()).isEqualTo(Prompt.Kind.ACKNOWLEDGE);

    int sent = rig.sent.size();
    rig.acknowledge();
    assertThat(rig.sent).hasSize(sent + 1);
    rig.work(50);
    assertThat(rig.mode()).isEqualTo(StationMode.COMPLETE);
  }

  /**
   * With a pusher, where the stop stands tells what remains: a piece can come out of any length.
   */
  @Test
  void aTargetReckonedFromALongerStickIsVoidOnceACutBeforeItComesIn() {
    StationRig pusher = new StationRig(Layout.INFEED_PUSHER, false, 1);
    arm(pusher, 300, 2);
    pusher.work(2);
    pusher.disconnect();
    pusher.connect();
    pusher.saw.reached = false;
    pusher.acknowledge();
    assertThat(pusher.state.target()).as("set anew").isNotNull();

    FakeSaw.Cycle late = pusher.saw.stroke();
    pusher.input(
        new StationInput.FromLink(
            new LinkEvent.CutReported(
                new org.kerftally.shared.device.LastCut(
                    late.boot(),
                    late.count(),
                    pusher.state.dropped().set().seq(),
                    Length.ofMm(600),
                    null))));

    assertThat(pusher.all(TargetVoided.class)).hasSize(2);
    assertThat(pusher.cuts(CutKind.SUSPECT)).hasSize(1);
    assertThat(pusher.cuts(CutKind.PART)).isEmpty();
    assertThat(pusher.sent.get(pusher.sent.size() - 1).position()).isEqualTo(Length.ofMm(297));
  }
}
