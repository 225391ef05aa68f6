package org.kerftally.daemon.site;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.site.DeviceTruth.Doing;
import org.kerftally.daemon.site.DeviceTruth.TrueCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.Acknowledged;
import org.kerftally.shared.event.StationEvent.BootSeen;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.DriveBegun;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.length.Length;

/** What judges rounds and soak finds what it is there to find. */
final class JudgesTest {

  private static final Instant START = Instant.parse("2027-03-01T09:00:00Z");
  private static final Length LENGTH = Length.ofMm(505);

  private final List<Recorded> log = new ArrayList<>();
  private final List<TrueCut> cuts = new ArrayList<>();
  private final List<Doing> doings = new ArrayList<>();
  private int second;

  private Instant next() {
    second++;
    return START.plusSeconds(second);
  }

  private void say(StationEvent event) {
    log.add(new Recorded(log.size() + 1, next(), "saw1", event));
  }

  private void does(String what, long number) {
    doings.add(new Doing("b1", what, number, null, next()));
  }

  private DeviceTruth truth() {
    return new DeviceTruth(cuts, doings);
  }

  private static TargetSet target(long seq) {
    return new TargetSet(seq, "supers", 1, "side", LENGTH, LENGTH, START);
  }

  private TrueCut cut(long count, long seq) {
    TrueCut cut = new TrueCut("b1", count, seq, LENGTH, START);
    cuts.add(cut);
    return cut;
  }

  private static CutBooked booked(long count, long seq, CutKind kind, Length position) {
    return new CutBooked(
        "b1", count, kind, seq, "supers", "side", 1, LENGTH, LENGTH, position, START, null, null);
  }

  private List<String> differences() {
    return Agreement.of(truth(), log).differences();
  }

  @Test
  void aCutBookedAsItWasAgrees() {
    say(target(1));
    cut(1, 1);
    say(booked(1, 1, CutKind.PART, LENGTH));
    assertThat(differences()).isEmpty();
  }

  @Test
  void aMissingADoubledAndAnInventedCutAreFound() {
    say(target(1));
    cut(1, 1);
    cut(2, 1);
    say(booked(1, 1, CutKind.PART, LENGTH));
    say(booked(1, 1, CutKind.PART, LENGTH));
    say(booked(3, 1, CutKind.PART, LENGTH));
    assertThat(differences())
        .containsExactly(
            "b1 #1 is booked twice",
            "b1 #2 was cut and is not in the log",
            "b1 #3 is in the log and was never cut");
  }

  @Test
  void aRightfulCutThatIsNotCountedAndAnotherPositionAreFound() {
    say(target(1));
    say(target(2));
    cut(1, 1);
    cut(2, 2);
    say(booked(1, 1, CutKind.SUSPECT, LENGTH));
    say(booked(2, 2, CutKind.PART, LENGTH.plus(Length.ofNm(2_000))));
    assertThat(differences())
        .hasSize(2)
        .anyMatch(d -> d.startsWith("b1 #1 was cut rightly"))
        .anyMatch(d -> d.startsWith("b1 #2 was cut as"));
  }

  @Test
  void aCutWithoutATargetThatIsCountedIsFound() {
    cut(1, 9);
    say(booked(1, 9, CutKind.PART, LENGTH));
    assertThat(differences()).singleElement().asString().contains("was not cut for its target");
  }

  private void linked() {
    say(new DriveBegun("test"));
    say(new LinkUp());
    say(new BootSeen("b1", 0, 0, OperatorPanel.UNTOUCHED));
  }

  @Test
  void aMoveAfterAnAcknowledgeIsAllowed() {
    linked();
    does(Doing.ACKNOWLEDGE, 1);
    say(new Acknowledged(1));
    say(target(1));
    does(Doing.MOVE, 1);
    assertThat(MotionCheck.breaches(truth(), log)).isEmpty();
  }

  @Test
  void aMoveUponAnAcknowledgeFromBeforeTheRestartIsFound() {
    linked();
    does(Doing.ACKNOWLEDGE, 1);
    say(new DriveBegun("test"));
    say(new LinkUp());
    say(new Acknowledged(1));
    say(target(1));
    does(Doing.MOVE, 1);
    assertThat(MotionCheck.breaches(truth(), log))
        .singleElement()
        .asString()
        .contains("nobody had acknowledged after DriveBegun");
  }

  @Test
  void aMoveAfterALostLinkWithoutAnAcknowledgeIsFound() {
    linked();
    does(Doing.ACKNOWLEDGE, 1);
    say(new Acknowledged(1));
    say(new LinkDown("cut"));
    say(new LinkUp());
    say(target(1));
    does(Doing.MOVE, 1);
    assertThat(MotionCheck.breaches(truth(), log))
        .singleElement()
        .asString()
        .contains("without an acknowledge");
  }

  @Test
  void aMoveForATargetThatWasNeverSetIsFound() {
    linked();
    does(Doing.MOVE, 7);
    assertThat(MotionCheck.breaches(truth(), log)).singleElement().asString().contains("never set");
  }

  @Test
  void aPartThatIsBookedMoreOftenThanItWasCutIsFound() {
    say(target(1));
    cut(1, 1);
    say(booked(1, 1, CutKind.PART, LENGTH));
    say(booked(2, 1, CutKind.PART, LENGTH));
    assertThat(PartsCheck.differences(truth(), log))
        .singleElement()
        .asString()
        .contains("made 2 of 2 booked")
        .contains("truly cut 1");
  }
}
