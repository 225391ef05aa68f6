package org.kerftally.protocol.opcua;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ubyte;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ulong;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ushort;

import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.wiring.ContractReader;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

final class SnapshotReaderTest {

  private final Map<Signal, DataValue> values = new EnumMap<>(Signal.class);

  SnapshotReaderTest() {
    put(Signal.BOOT_ID, "b1");
    put(Signal.CUT_COUNT, uint(12));
    put(Signal.LAST_CUT_BOOT, "b1");
    put(Signal.LAST_CUT_COUNT, uint(12));
    put(Signal.LAST_CUT_SEQUENCE, uint(17));
    put(Signal.LAST_CUT_POSITION, 505.02);
    put(Signal.ACTIVE_SEQUENCE, uint(17));
    put(Signal.POSITION_ACTUAL_VALUE, 505.02);
    put(Signal.TARGET_REACHED, true);
    put(Signal.HOMING_ATTAINED, true);
    put(Signal.ENABLED, true);
    put(Signal.REMOTE_ALLOWED, true);
    put(Signal.SAW_STATE, 1);
    put(Signal.FAULT_CODE, 0);
  }

  private void put(Signal signal, @Nullable Object value) {
    values.put(signal, new DataValue(new Variant(value)));
  }

  private DeviceSnapshot read() throws LinkFault {
    return SnapshotReader.read(values);
  }

  @Test
  void whatADeviceNeedNotHaveIsReadAsUntouched() throws LinkFault {
    assertThat(read())
        .isEqualTo(
            new DeviceSnapshot(
                "b1",
                12,
                new LastCut("b1", 12, 17, Length.ofNm(505_020_000), null),
                17,
                Length.ofNm(505_020_000),
                true,
                true,
                true,
                true,
                SawState.IDLE,
                0,
                "",
                OperatorPanel.UNTOUCHED));
  }

  @Test
  void anyIntegerTypePassesForACount() throws LinkFault {
    for (Object twelve :
        new Object[] {ubyte(12), (byte) 12, ushort(12), (short) 12, uint(12), 12, ulong(12), 12L}) {
      put(Signal.CUT_COUNT, twelve);
      assertThat(read().cutCount()).isEqualTo(12);
    }
  }

  @Test
  void aPositionOf32BitsIsTheDecimalItPrintsAs() throws LinkFault {
    put(Signal.POSITION_ACTUAL_VALUE, 505.02f);

    assertThat(read().position()).isEqualTo(Length.ofNm(505_020_000));
  }

  @Test
  void anEmptyLastCutBootMeansNoLastCutWhateverElseIsThere() throws LinkFault {
    put(Signal.LAST_CUT_BOOT, "");
    put(Signal.LAST_CUT_POSITION, Double.NaN);

    assertThat(read().lastCut()).isNull();
  }

  /** Some controllers fill a text of a fixed length up with blanks. */
  @Test
  void aBlankLastCutBootMeansNoLastCutEither() throws LinkFault {
    put(Signal.LAST_CUT_BOOT, "   ");

    assertThat(read().lastCut()).isNull();
  }

  @Test
  void aMeasuredLengthThatIsNoNumberIsNone() throws LinkFault {
    put(Signal.STICK_LENGTH, Double.NaN);
    put(Signal.DEFECT_POSITION, 1200.5);

    assertThat(read().panel().stickLength()).isNull();
    assertThat(read().panel().defectAt()).isEqualTo(Length.ofNm(1_200_500_000));
  }

  @Test
  void theTimeOfACutIsTakenWhereThereIsOne() throws LinkFault {
    Instant at = Instant.parse("2027-03-01T09:15:02.117Z");
    put(Signal.LAST_CUT_TIME, new DateTime(at));
    assertThat(read().lastCut().at()).isEqualTo(at);

    put(Signal.LAST_CUT_TIME, DateTime.NULL_VALUE);
    assertThat(read().lastCut().at()).isNull();

    put(Signal.LAST_CUT_TIME, null);
    assertThat(read().lastCut().at()).isNull();
  }

  @Test
  void aFaultTextMayBeLocalizedAndIsCutOffWhenItIsLong() throws LinkFault {
    put(Signal.FAULT_TEXT, LocalizedText.english("x".repeat(100_000)));

    assertThat(read().faultText()).hasSize(ContractReader.MAX_TEXT_CHARS);
  }

  @Test
  void anUnknownSawStateIsNeverIdle() throws LinkFault {
    put(Signal.SAW_STATE, 99);

    assertThat(read().sawState()).isEqualTo(SawState.UNKNOWN);
    assertThat(read().permitsMove()).isFalse();
  }

  @ParameterizedTest
  @EnumSource(
      value = Signal.class,
      mode = EnumSource.Mode.EXCLUDE,
      names = {"GUARD_UP", "BLADE_IN", "ONLINE"})
  void aValueThatIsNotGoodNamesItsSignal(Signal signal) {
    values.put(
        signal, new DataValue(new Variant(null), StatusCode.of(StatusCodes.Bad_SensorFailure)));

    assertThatThrownBy(this::read)
        .isInstanceOf(LinkFault.class)
        .hasMessageContaining(signal.contractName())
        .hasMessageContaining("Bad_SensorFailure");
  }

  @ParameterizedTest
  @EnumSource(
      value = Signal.class,
      mode = EnumSource.Mode.EXCLUDE,
      names = {"GUARD_UP", "BLADE_IN", "ONLINE"})
  void aValueOfAFarFetchedTypeNamesItsSignal(Signal signal) {
    put(signal, new Object[] {"an", "array"});

    assertThatThrownBy(this::read)
        .isInstanceOf(LinkFault.class)
        .hasMessageContaining(signal.contractName());
  }

  @ParameterizedTest
  @ValueSource(doubles = {Double.NaN, Double.POSITIVE_INFINITY, 1e7, -1e300})
  void aPositionNoStopCanTakeNamesItsSignal(double mm) {
    put(Signal.POSITION_ACTUAL_VALUE, mm);

    assertThatThrownBy(this::read).hasMessageContaining("PositionActualValue");
  }

  @Test
  void aCountBelowZeroNamesItsSignal() {
    put(Signal.CUT_COUNT, -1);

    assertThatThrownBy(this::read).hasMessageContaining("CutCount").hasMessageContaining("-1");
  }

  @Test
  void aBootIdIsNeitherEmptyNorEndless() {
    put(Signal.BOOT_ID, " ");
    assertThatThrownBy(this::read).hasMessageContaining("BootId");

    put(Signal.BOOT_ID, "x".repeat(ContractReader.MAX_BOOT_CHARS + 1));
    assertThatThrownBy(this::read).hasMessageContaining("BootId");
  }

  @Test
  void aBootIdHasNoControlCharacters() {
    put(Signal.BOOT_ID, "b\u001b[2J");

    assertThatThrownBy(this::read)
        .hasMessageContaining("BootId")
        .hasMessageNotContaining("\u001b")
        .hasMessageContaining("control character");
  }

  @Test
  void aFaultTextIsOnOneLine() throws LinkFault {
    put(Signal.FAULT_TEXT, "low air\r\nat the clamp");

    assertThat(read().faultText()).isEqualTo("low air  at the clamp");
  }

  @Test
  void aWrongValueIsShownOnOneLine() {
    put(Signal.CUT_COUNT, "12\n13\u001b[2J");

    assertThatThrownBy(this::read)
        .hasMessageContaining("CutCount")
        .hasMessageContaining("String 12 13 [2J;");
  }

  @ParameterizedTest
  @EnumSource(
      value = Signal.class,
      names = {"CUT_COUNT", "LAST_CUT_COUNT", "STICK_LOADED_COUNT", "ACKNOWLEDGE_COUNT"})
  void aTotalBeyondWhatIsCountedExactlyEverywhereNamesItsSignal(Signal signal) throws LinkFault {
    put(signal, ContractReader.MAX_TOTAL);
    assertThat(read()).isNotNull();

    put(signal, ContractReader.MAX_TOTAL + 1);
    assertThatThrownBy(this::read).hasMessageContaining(signal.contractName());
  }

  @ParameterizedTest
  @EnumSource(
      value = Signal.class,
      names = {"ACTIVE_SEQUENCE", "LAST_CUT_SEQUENCE"})
  void aSequenceNumberBeyond32BitsNamesItsSignal(Signal signal) throws LinkFault {
    put(signal, (1L << 32) - 1);
    assertThat(read()).isNotNull();

    put(signal, 1L << 32);
    assertThatThrownBy(this::read).hasMessageContaining(signal.contractName());
  }

  @ParameterizedTest
  @EnumSource(
      value = Signal.class,
      names = {"STICK_LENGTH", "DEFECT_POSITION"})
  void aMeasuredLengthBelowZeroNamesItsSignal(Signal signal) {
    put(signal, -0.5);

    assertThatThrownBy(this::read).hasMessageContaining(signal.contractName());
  }

  @Test
  void aTimeBeyondFourDigitsOfAYearIsNone() throws LinkFault {
    put(Signal.LAST_CUT_TIME, new DateTime(Long.MAX_VALUE - 1));

    assertThat(read().lastCut().at()).isNull();
  }
}
