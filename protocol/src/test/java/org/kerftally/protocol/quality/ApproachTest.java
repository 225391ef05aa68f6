package org.kerftally.protocol.quality;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.QualityConfig.From;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.length.Length;

final class ApproachTest {

  private static final QualityConfig ABOVE = QualityStations.asking(0, 0, From.ABOVE);
  private static final Length AT = Length.ofMm(500);
  private static final Length TURN = Length.ofMm(502);

  private final CoreRig rig = new CoreRig(ABOVE);

  @Test
  void aTargetFromTheWrongSideIsTwoMovesAndOneToTheStation() {
    rig.up();
    assertThat(rig.offer(3, AT)).isNull();
    rig.turn(5, TURN);

    assertThat(rig.numbers()).containsExactly(5L, 6L);
    assertThat(rig.legs.get(0).position()).isEqualTo(TURN);
    assertThat(rig.legs.get(1).position()).isEqualTo(AT);
    assertThat(rig.legs.get(1).boot()).isEqualTo("b1");
    assertThat(rig.latest().activeSequence()).isEqualTo(3);
    assertThat(rig.latest().targetReached()).isFalse();
    rig.reply(6, true);
    rig.device.take(6).reach(AT);
    rig.look();
    assertThat(rig.latest().targetReached()).isTrue();
    assertThat(rig.latest().activeSequence()).isEqualTo(3);
    assertThat(rig.heard)
        .filteredOn(LinkEvent.Replied.class::isInstance)
        .containsExactly(new LinkEvent.Replied(3, true, null));
  }

  @Test
  void theSecondLegIsValidFromWhenItIsSent() {
    rig.up();
    rig.offer(1, AT);
    rig.device.take(1);
    rig.reply(1, true);
    for (int i = 1; i <= 20; i++) {
      rig.pass(1_000);
      rig.device.position = Length.ofMm(20L * i);
      rig.look();
    }
    rig.device.reach(TURN);
    rig.look();
    assertThat(rig.legs.get(1).validUntil())
        .isEqualTo(CoreRig.START.plusMillis(20_000).plus(CoreRig.VALIDITY));
  }

  @ParameterizedTest
  @CsvSource({
    "ABOVE, 502, 2",
    "ABOVE, 501, 1",
    "ABOVE, 3000, 2",
    "ABOVE, 500, 1",
    "BELOW, 498, 2",
    "BELOW, 499, 1",
    "BELOW, 20, 2",
    "BELOW, 900, 1"
  })
  void aMoveThatComesFromTheRightSideAnywayHasOneLeg(From from, int standsAtMm, long number) {
    CoreRig stands = new CoreRig(QualityStations.asking(0, 0, from));
    stands.device.position = Length.ofMm(standsAtMm);
    stands.up();
    stands.offer(1, AT);
    assertThat(stands.numbers()).containsExactly(number);
    if (number == 2) {
      stands.reply(2, false);
      assertThat(stands.heard).endsWith(new LinkEvent.Replied(1, false, "no"));
    }
  }

  @Test
  void aMoveToWhereNothingIsCutGoesStraightWhereverTheStopComesFrom() {
    rig.up();
    assertThat(rig.offerMove(1, AT)).isNull();
    assertThat(rig.numbers()).containsExactly(2L);
    assertThat(rig.legs.get(0).move()).isEqualTo(StopMove.RETRACT);
    assertThat(rig.offerMove(2, QualityStations.TRAVEL.max())).as("no room to turn").isNull();
    assertThat(rig.numbers()).containsExactly(2L, 4L);
  }

  @Test
  void aStopThatStandsThereByAMoveThatWentStraightTurnsForACut() {
    rig.up();
    rig.offerMove(1, AT);
    rig.reply(2, true);
    rig.device.take(2).reach(AT);
    rig.look();
    assertThat(rig.latest().targetReached()).isTrue();
    rig.offer(2, AT);
    assertThat(rig.numbers()).containsExactly(2L, 3L);
  }

  @Test
  void aStopThatStandsThereFromTheLastTargetDoesNotTurnAgain() {
    standAtTheFirst();
    rig.offer(2, AT);
    assertThat(rig.numbers()).containsExactly(1L, 2L, 4L);
  }

  @Test
  void aStopThatWasPushedMeanwhileTurnsAgain() {
    standAtTheFirst();
    rig.device.reached = false;
    rig.look();
    rig.device.reached = true;
    rig.look();
    rig.offer(2, AT);
    assertThat(rig.numbers()).containsExactly(1L, 2L, 3L);
  }

  @Test
  void aStopThatStandsThereSinceBeforeTheLinkWasLostTurnsAgain() {
    standAtTheFirst();
    rig.down();
    rig.up();
    rig.look();
    rig.offer(2, AT);
    assertThat(rig.numbers()).containsExactly(1L, 2L, 3L);
  }

  private void standAtTheFirst() {
    rig.up();
    rig.offer(1, AT);
    rig.turn(1, TURN);
    rig.reply(2, true);
    rig.device.take(2).reach(AT);
    rig.look();
    assertThat(rig.latest().targetReached()).isTrue();
  }

  @ParameterizedTest
  @CsvSource({"ABOVE, 3999, 4000", "BELOW, 21, 20", "ABOVE, 3998, 4000"})
  void nearTheEndOfTheTravelTheTurnIsWhereTheTravelEnds(From from, int mm, int turnMm) {
    CoreRig near = new CoreRig(QualityStations.asking(0, 0, from));
    near.device.position = from == From.ABOVE ? Length.ZERO : Length.ofMm(2_000);
    near.up();
    assertThat(near.offer(1, Length.ofMm(mm))).isNull();
    assertThat(near.legs.get(0).position()).isEqualTo(Length.ofMm(turnMm));
  }

  @ParameterizedTest
  @CsvSource({"ABOVE, 4000000000", "ABOVE, 3999800000", "BELOW, 20000000", "BELOW, 20150000"})
  void aTargetThatLeavesNoRoomToTurnIsRefusedWithTheReason(From from, long nm) {
    CoreRig near = new CoreRig(QualityStations.asking(0, 0, from)).up();
    assertThat(near.offer(1, Length.ofNm(nm))).contains("travel", "2 mm", from.word());
    assertThat(near.legs).isEmpty();
  }

  @Test
  void theTurnIsAWholeStepWithinTheTravelAsTheDeviceCounts() {
    Calibration calibration =
        new Calibration(Length.ofMm(5), new BigDecimal("1.0003"), Length.ofNm(70_000));
    for (long mm = 30; mm < 3_990; mm += 7) {
      CoreRig scaled = new CoreRig(ABOVE, calibration).up();
      Length target = calibration.toPosition(Length.ofMm(mm));
      assertThat(scaled.offer(1, target)).isNull();
      Length turn = scaled.legs.get(0).position();
      assertThat(turn.nm() % 70_000).isZero();
      assertThat(turn.minus(target).isLessThan(Length.ofMm(2))).isFalse();
    }
    CoreRig end = new CoreRig(ABOVE, calibration).up();
    assertThat(end.offer(1, calibration.toPosition(Length.ofMm(3_999)))).isNull();
    assertThat(calibration.toLength(end.legs.get(0).position()))
        .isLessThanOrEqualTo(Length.ofMm(4_000))
        .isGreaterThan(Length.ofNm(3_999_900_000L));
  }

  @Test
  void aNumberWhoseLegsDoNotFitIsRefused() {
    rig.up();
    assertThat(rig.offer(DeviceNumbers.MOST, AT)).isNull();
    assertThat(rig.numbers().get(0)).isLessThan(1L << 32);
    assertThat(rig.offer(DeviceNumbers.MOST + 1, AT)).contains("2147483648", "another name");
    assertThat(rig.legs).hasSize(1);
  }

  @Test
  void aRefusedFirstLegIsTheTargetsRefusalAndNothingFollows() {
    rig.up();
    rig.offer(1, AT);
    rig.reply(1, false);
    rig.device.take(1).reach(TURN);
    rig.look();
    assertThat(rig.numbers()).containsExactly(1L);
    assertThat(rig.heard).contains(new LinkEvent.Replied(1, false, "no"));
  }

  @Test
  void aRefusedSecondLegIsWrittenDownAndNotRetried() {
    rig.up();
    rig.offer(1, AT);
    rig.turn(1, TURN);
    rig.reply(2, false);
    for (int i = 0; i < 20; i++) {
      rig.pass(1_000);
      rig.look();
    }
    assertThat(rig.numbers()).containsExactly(1L, 2L);
    assertThat(rig.notes).containsExactly("the second leg was refused, not retried: no");
    assertThat(rig.latest().targetReached()).isFalse();
    assertThat(rig.heard).filteredOn(LinkEvent.Replied.class::isInstance).hasSize(1);
  }

  @Test
  void anAnswerThatComesAfterTheTurnIsReachedSendsTheSecondLeg() {
    rig.up();
    rig.offer(1, AT);
    rig.device.take(1);
    rig.look();
    rig.device.reach(TURN);
    rig.look();
    assertThat(rig.numbers()).containsExactly(1L);
    rig.reply(1, true);
    assertThat(rig.numbers()).containsExactly(1L, 2L);
  }

  @Test
  void aDeviceThatSaysReachedFarFromTheTurnIsNotBelieved() {
    rig.up();
    rig.offer(1, AT);
    rig.turn(1, Length.ofMm(100));
    assertThat(rig.numbers()).containsExactly(1L);
    rig.device.reach(Length.ofNm(501_900_000));
    rig.look();
    assertThat(rig.numbers()).containsExactly(1L, 2L);
  }

  @Test
  void aNewTargetTakesThePlaceOfOneWhoseSecondLegWaits() {
    rig.up();
    rig.offer(1, AT);
    rig.device.take(1);
    rig.reply(1, true);
    rig.look();
    rig.offer(2, Length.ofMm(700));
    rig.device.reach(TURN);
    rig.look();
    assertThat(rig.numbers()).containsExactly(1L, 3L);
  }

  /** Whatever comes between, once: the way back to order does not bring the leg back. */
  @Test
  void whatAnOperatorWouldLookAtFirstSpoilsTheSecondLegForGood() {
    List<Consumer<CoreRig>> troubles = new ArrayList<>();
    troubles.add(
        r -> {
          r.device.enabled = false;
          r.look();
          r.device.enabled = true;
          r.look();
        });
    troubles.add(
        r -> {
          r.device.paused = true;
          r.look();
          r.device.paused = false;
        });
    troubles.add(
        r -> {
          r.down();
          r.up();
        });
    troubles.add(r -> r.device.boot = "b2");
    troubles.add(r -> r.device.cuts++);
    troubles.add(r -> r.device.active = 99);
    troubles.add(r -> r.pass(SecondLeg.STILL_NANOS / 1_000_000 + 1));
    for (int i = 0; i < troubles.size(); i++) {
      CoreRig spoilt = new CoreRig(ABOVE).up();
      spoilt.offer(1, AT);
      spoilt.device.take(1);
      spoilt.reply(1, true);
      spoilt.look();
      troubles.get(i).accept(spoilt);
      spoilt.look();
      spoilt.device.take(1).reach(TURN);
      spoilt.look();
      spoilt.look();

      assertThat(spoilt.numbers()).as("trouble %d", i).containsExactly(1L);
      assertThat(spoilt.notes).as("trouble %d", i).hasSize(1).allMatch(n -> n.contains("not sent"));
      assertThat(spoilt.latest().targetReached()).isFalse();
    }
  }

  @Test
  void cutsComeBackInTheStationsNumbers() {
    LastCut first = new LastCut("b0", 4, 7, AT, null);
    rig.device.last = first;
    rig.up();
    assertThat(rig.latest().lastCut())
        .as("a cut on a first leg")
        .isEqualTo(new LastCut("b0", 4, 4, AT, null, true));
    rig.hear(new LinkEvent.CutReported(new LastCut("b1", 5, 8, AT, null)));
    assertThat(rig.heard).endsWith(new LinkEvent.CutReported(new LastCut("b1", 5, 4, AT, null)));
    rig.hear(new LinkEvent.CutReported(new LastCut("b1", 6, 0, AT, null)));
    assertThat(rig.heard).endsWith(new LinkEvent.CutReported(new LastCut("b1", 6, 0, AT, null)));
  }

  @Test
  void aTargetWithoutALinkIsNotTaken() {
    assertThat(rig.offer(1, AT)).isEqualTo("not live");
    rig.up();
    rig.down();
    assertThat(rig.offer(1, AT)).isEqualTo("not live");
    assertThat(rig.legs).isEmpty();
  }

  /**
   * Any order of events: no leg is sent twice or below one before, none but in the event of an
   * offer or a due turn, a second leg only after all was well throughout, and nothing reached but
   * at a last leg.
   */
  @Test
  void inAnyOrderOfEventsNothingMovesThatWasNotAskedForAndNothingTwice() {
    int seconds = 0;
    for (long seed = 0; seed < 3_000; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      CoreRig any = new CoreRig(ABOVE).up();
      DeviceSnapshot looked = any.device.now();
      long seq = 0;
      long first = -1;
      boolean well = false;
      boolean linked = true;
      boolean answered = false;
      for (int i = 0; i < 60; i++) {
        int before = any.legs.size();
        boolean offered = false;
        switch (random.nextInt(14)) {
          case 0, 1 -> {
            seq++;
            offered = any.offer(seq, Length.ofMm(random.nextInt(100, 900))) == null;
            assertThat(offered).isEqualTo(linked);
            if (offered) {
              long number = any.legs.get(before).seq();
              first = number % 2 == 1 ? number : -1;
              well = true;
              answered = false;
            }
          }
          case 2, 3, 4 -> {
            if (!any.legs.isEmpty() && linked) {
              long number = any.legs.get(any.legs.size() - 1).seq();
              boolean yes = random.nextInt(5) != 0;
              answered |= yes && number == first;
              well &= yes || number != first;
              any.reply(number, yes);
            }
          }
          case 5, 6, 7, 8 -> {
            if (!any.legs.isEmpty()) {
              var leg = any.legs.get(any.legs.size() - 1);
              any.device.take(leg.seq());
              if (random.nextInt(3) != 0) {
                any.device.reach(leg.position());
              }
            }
          }
          case 9 -> {
            any.device.enabled = !any.device.enabled;
          }
          case 10 -> {
            any.device.boot = "b" + seed + "-" + i;
          }
          case 11 -> {
            if (linked) {
              any.down();
              linked = false;
              well = false;
            } else {
              any.up();
              looked = any.device.now();
              linked = true;
            }
          }
          case 12 -> any.device.cuts++;
          default -> any.pass(random.nextInt(1, 50));
        }
        DeviceSnapshot by = looked;
        boolean sent = any.legs.size() > before + (offered ? 1 : 0);
        if (linked && random.nextBoolean()) {
          any.look();
          looked = any.device.now();
          assertThat(any.latest().targetReached())
              .isEqualTo(any.device.reached && any.device.active % 2 == 0);
        }
        if (offered) {
          before++;
        }
        by = sent ? by : looked;
        for (var leg : any.legs.subList(before, any.legs.size())) {
          seconds++;
          assertThat(leg.seq()).as("seed %d", seed).isEqualTo(first + 1);
          assertThat(List.of(well, answered, linked, by.permitsMove()))
              .as("seed %d: well, answered, linked, permitted", seed)
              .containsOnly(true);
          assertThat(by.activeSequence()).isEqualTo(first);
          first = -1;
        }
        assertThat(any.numbers()).as("seed %d", seed).isSorted().doesNotHaveDuplicates();
      }
    }
    assertThat(seconds).isGreaterThan(300);
  }
}
