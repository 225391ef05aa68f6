package org.kerftally.protocol.quality;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.config.QualityConfig.From;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.length.Length;

final class InPositionTest {

  private static final Length AT = Length.ofMm(500);
  private static final Length OFF = Length.ofNm(500_150_000);

  private static CoreRig at(int dwell, int settle) {
    CoreRig rig = new CoreRig(QualityStations.asking(dwell, settle, From.EITHER)).up();
    assertThat(rig.offer(1, AT)).isNull();
    rig.reply(1, true);
    rig.device.take(1);
    rig.look();
    return rig;
  }

  @ParameterizedTest
  @CsvSource({"200, 0, 200", "0, 150, 150", "200, 150, 200", "100, 300, 300"})
  void theStopIsInPositionByTimeAloneOnceBothAreOver(int dwell, int settle, int due) {
    CoreRig rig = at(dwell, settle);
    rig.device.reach(AT);
    rig.look();
    assertThat(rig.latest().targetReached()).isFalse();
    int heard = rig.heard.size();

    rig.pass(due - 1);
    assertThat(rig.heard).hasSize(heard);
    rig.pass(1);

    assertThat(rig.heard).hasSize(heard + 1);
    assertThat(rig.heard.get(heard)).isEqualTo(new LinkEvent.Snapshot(rig.device.now()));
    rig.pass(10_000);
    assertThat(rig.heard).hasSize(heard + 1);
  }

  @Test
  void leavingTheWindowStartsTheDwellOverAndNotTheSettling() {
    CoreRig rig = at(200, 300);
    rig.device.reach(AT);
    rig.look();
    rig.pass(150);
    rig.device.position = OFF;
    rig.look();
    rig.pass(1_000);
    assertThat(rig.latest().targetReached()).isFalse();
    rig.device.position = AT;
    rig.look();
    rig.pass(199);
    assertThat(rig.latest().targetReached()).isFalse();
    rig.pass(1);
    assertThat(rig.latest().targetReached()).isTrue();
  }

  @Test
  void theDevicesWordTakenBackStartsTheSettlingOver() {
    CoreRig rig = at(0, 100);
    rig.device.reach(AT);
    rig.look();
    rig.pass(90);
    rig.device.reached = false;
    rig.look();
    rig.pass(90);
    rig.device.reached = true;
    rig.look();
    rig.pass(99);
    assertThat(rig.latest().targetReached()).isFalse();
    rig.pass(1);
    assertThat(rig.latest().targetReached()).isTrue();
  }

  @Test
  void aStopThatLeavesItsWindowLaterIsOutOfPositionAtOnce() {
    CoreRig rig = at(50, 0);
    rig.device.reach(AT);
    rig.look();
    rig.pass(50);
    assertThat(rig.latest().targetReached()).isTrue();
    rig.device.position = OFF;
    rig.look();
    assertThat(rig.latest().targetReached()).isFalse();
  }

  @Test
  void aDeviceThatSaysSoOffTheTargetIsNotBelieved() {
    CoreRig rig = at(50, 0);
    rig.device.reach(Length.ofMm(480));
    rig.look();
    rig.pass(60_000);
    assertThat(rig.latest().targetReached()).isFalse();
  }

  @Test
  void anotherTargetAtTheSamePlaceDwellsAnew() {
    CoreRig rig = at(50, 0);
    rig.device.reach(AT);
    rig.look();
    rig.pass(50);
    rig.offer(2, AT);
    rig.device.active = 2;
    rig.look();
    assertThat(rig.latest().targetReached()).isFalse();
    rig.pass(50);
    assertThat(rig.latest().targetReached()).isTrue();
  }

  @Test
  void afterAReconnectTheDwellIsAnewAndNothingIsSaidWhileTheLinkIsDown() {
    CoreRig rig = at(50, 0);
    rig.device.reach(AT);
    rig.look();
    rig.pass(49);
    rig.down();
    int heard = rig.heard.size();
    rig.pass(10_000);
    assertThat(rig.heard).hasSize(heard);
    rig.up();
    assertThat(rig.latest().targetReached()).isFalse();
    rig.pass(50);
    assertThat(rig.latest().targetReached()).isTrue();
  }

  @Test
  void ofATargetFromBeforeThisProcessTheFirstReadingStandsIn() {
    CoreRig rig = new CoreRig(QualityStations.asking(50, 0, From.EITHER));
    rig.device.take(7).reach(AT);
    rig.up();
    rig.pass(20);
    rig.device.position = OFF;
    rig.look();
    rig.pass(100);
    assertThat(rig.latest().targetReached()).isFalse();
    rig.device.position = AT;
    rig.look();
    rig.pass(50);
    assertThat(rig.latest().targetReached()).isTrue();
  }

  /** Every reading of a stop that wanders is judged again by its whole past. */
  @Test
  void overAnyWanderingTheWordIsWhatItsWholePastSays() {
    for (long seed = 0; seed < 300; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      int dwell = random.nextInt(0, 60);
      int settle = random.nextInt(dwell == 0 ? 1 : 0, 60);
      CoreRig rig = at(dwell, settle);
      long saidSince = -1;
      long withinSince = -1;
      for (int i = 0; i < 60; i++) {
        rig.device.reached = random.nextInt(4) != 0;
        rig.device.position = random.nextInt(5) == 0 ? OFF : AT;
        boolean within = rig.device.position.equals(AT);
        saidSince = !rig.device.reached ? -1 : saidSince < 0 ? rig.millis : saidSince;
        withinSince = !within ? -1 : withinSince < 0 ? rig.millis : withinSince;
        rig.look();
        for (int ms = random.nextInt(1, 40); ms > 0; ms--) {
          boolean expected =
              saidSince >= 0
                  && withinSince >= 0
                  && rig.millis - saidSince >= settle
                  && rig.millis - withinSince >= dwell;
          assertThat(rig.latest().targetReached())
              .as("seed %d, reading %d", seed, i)
              .isEqualTo(expected);
          rig.pass(1);
        }
      }
    }
  }
}
