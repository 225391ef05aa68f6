package org.kerftally.protocol.wiring;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

class DevicePictureTest {

  private static final Length WINDOW = Length.ofNm(100_000);

  private final Map<Signal, PointConfig> map = new LinkedHashMap<>();
  private final Map<Signal, RawValue> raw = new EnumMap<>(Signal.class);

  DevicePictureTest() {
    put(Signal.BOOT_ID, "b1");
    put(Signal.CUT_COUNT, 12);
    put(Signal.LAST_CUT_BOOT, "b1");
    put(Signal.LAST_CUT_COUNT, 12);
    put(Signal.LAST_CUT_SEQUENCE, 17);
    put(Signal.LAST_CUT_POSITION, 505.02);
    put(Signal.ACTIVE_SEQUENCE, 17);
    put(Signal.POSITION_ACTUAL_VALUE, 505.02);
    put(Signal.TARGET_REACHED, true);
    put(Signal.HOMING_ATTAINED, true);
    put(Signal.ENABLED, true);
    put(Signal.REMOTE_ALLOWED, true);
    put(Signal.SAW_STATE, 1);
    put(Signal.FAULT_CODE, 0);
  }

  private void put(Signal signal, Object value) {
    raw.put(signal, RawValue.of(value));
  }

  private DevicePicture lacking(StandIn... lacks) {
    for (StandIn standIn : lacks) {
      raw.keySet().removeIf(signal -> StandIn.of(signal) == standIn);
    }
    DevicePicture picture =
        new DevicePicture(new WiringConfig(map, Set.of(lacks), MoveConfig.CONTRACT), WINDOW, "m1");
    picture.connected();
    return picture;
  }

  @Test
  void aDeviceThatLacksNothingIsTakenAsItIs() throws SignalFault {
    DeviceSnapshot snapshot = lacking().take(raw);

    assertThat(snapshot).isEqualTo(ContractReader.read(raw));
  }

  @Test
  void guardAndBladeMakeTheSawsState() throws SignalFault {
    map.put(Signal.GUARD_UP, PointConfig.plain(new Place.Node("ns=1;s=G")));
    map.put(Signal.BLADE_IN, PointConfig.plain(new Place.Node("ns=1;s=B")));
    raw.remove(Signal.SAW_STATE);
    DevicePicture picture = lacking();

    assertThat(sawState(picture, true, true)).isEqualTo(SawState.IDLE);
    assertThat(sawState(picture, false, true)).isEqualTo(SawState.GUARD_DOWN);
    assertThat(sawState(picture, false, false)).isEqualTo(SawState.BLADE_OUT);
    assertThat(sawState(picture, true, false)).isEqualTo(SawState.BLADE_OUT);
  }

  private SawState sawState(DevicePicture picture, boolean up, boolean in) throws SignalFault {
    put(Signal.GUARD_UP, up);
    put(Signal.BLADE_IN, in);
    return picture.take(raw).sawState();
  }

  @Test
  void withoutABootIdEachConnectionIsAPowerUp() throws SignalFault {
    DevicePicture picture = lacking(StandIn.BOOT_ID, StandIn.LAST_CUT);
    String first = picture.take(raw).boot();

    assertThat(picture.take(raw).boot()).isEqualTo(first);
    picture.connected();
    assertThat(picture.take(raw).boot()).isNotEqualTo(first);
  }

  @Test
  void aWatchedCutIsNotedWithItsTargetAndPosition() throws SignalFault {
    DevicePicture picture = lacking(StandIn.LAST_CUT);
    assertThat(picture.take(raw).lastCut()).isNull();

    put(Signal.CUT_COUNT, 13);
    DeviceSnapshot cut = picture.take(raw);

    LastCut noted = new LastCut("b1", 13, 17, Length.ofNm(505_020_000), null);
    assertThat(cut.lastCut()).isEqualTo(noted);
    put(Signal.POSITION_ACTUAL_VALUE, 413.0);
    assertThat(picture.take(raw).lastCut()).isEqualTo(noted);
  }

  @Test
  void ofTwoCutsBetweenTwoReadingsNeitherIsMadeUp() throws SignalFault {
    DevicePicture picture = lacking(StandIn.LAST_CUT);
    picture.take(raw);

    put(Signal.CUT_COUNT, 14);

    assertThat(picture.take(raw).lastCut()).isNull();
  }

  @Test
  void aCutMadeWhileTheLinkWasAwayIsNotMadeUp() throws SignalFault {
    DevicePicture picture = lacking(StandIn.LAST_CUT);
    picture.take(raw);
    picture.connected();

    put(Signal.CUT_COUNT, 13);

    assertThat(picture.take(raw).lastCut()).isNull();
    assertThat(picture.take(raw).cutCount()).isEqualTo(13);
  }

  @Test
  void theNumberOfTheTargetIsRememberedForOneConnection() throws SignalFault {
    DevicePicture picture = lacking(StandIn.ACTIVE_SEQUENCE, StandIn.TARGET_REACHED);
    assertThat(picture.take(raw).activeSequence()).isZero();

    picture.took(18, Length.ofNm(505_000_000));
    assertThat(picture.take(raw).activeSequence()).isEqualTo(18);
    assertThat(picture.take(raw).targetReached()).isTrue();
    put(Signal.POSITION_ACTUAL_VALUE, 505.2);
    assertThat(picture.take(raw).targetReached()).isFalse();

    picture.connected();
    assertThat(picture.take(raw).activeSequence()).isZero();
    assertThat(picture.take(raw).targetReached()).isFalse();
  }

  @Test
  void pressesAreCountedByTheirEdgesAndAButtonHeldAtTheStartIsNone() throws SignalFault {
    Place place = new Place.Node("ns=1;s=Ack");
    map.put(
        Signal.ACKNOWLEDGE_COUNT,
        new PointConfig(
            place, null, null, null, false, Map.of(), null, false, PointConfig.Edge.RISING, null));
    DevicePicture picture = lacking();

    assertThat(pressed(picture, true)).isZero();
    assertThat(pressed(picture, false)).isZero();
    assertThat(pressed(picture, true)).isEqualTo(1);
    assertThat(pressed(picture, true)).isEqualTo(1);
    picture.connected();
    assertThat(pressed(picture, false)).isEqualTo(1);
    assertThat(pressed(picture, true)).isEqualTo(2);
  }

  private long pressed(DevicePicture picture, boolean down) throws SignalFault {
    put(Signal.ACKNOWLEDGE_COUNT, down);
    return picture.take(raw).panel().acknowledged();
  }

  /** Else the total that begins anew would fall within one boot, and presses would be lost. */
  @Test
  void whereEdgesAreCountedHereARestartIsAPowerUpToTheStation() throws SignalFault {
    map.put(
        Signal.ACKNOWLEDGE_COUNT,
        new PointConfig(
            new Place.Node("ns=1;s=Ack"),
            null,
            null,
            null,
            false,
            Map.of(),
            null,
            false,
            PointConfig.Edge.RISING,
            null));
    put(Signal.ACKNOWLEDGE_COUNT, false);
    DeviceSnapshot snapshot = lacking().take(raw);

    assertThat(snapshot.boot()).isEqualTo("b1.m1");
    assertThat(snapshot.lastCut()).isNotNull();
    assertThat(snapshot.lastCut().boot()).isEqualTo("b1.m1");
  }

  @Test
  void whatIsAssumedIsTrueAndWhatIsNotSaidIsNot() throws SignalFault {
    DevicePicture picture =
        lacking(
            StandIn.HOMING_ATTAINED,
            StandIn.ENABLED,
            StandIn.REMOTE_ALLOWED,
            StandIn.SAW_STATE,
            StandIn.FAULT_CODE);

    assertThat(picture.take(raw).permitsMove()).isTrue();
  }
}
