package org.kerftally.protocol.wiring;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

class PointValuesTest {

  private static final Place PLACE = new Place.Topic("plant/saw/word", null);

  private static PointConfig flag(@Nullable Long mask, @Nullable String wanted, boolean not) {
    return new PointConfig(PLACE, null, mask, wanted, not, Map.of(), null, false, null, null);
  }

  private static PointConfig length(@Nullable Length unit, boolean reversed) {
    return new PointConfig(PLACE, null, null, null, false, Map.of(), unit, reversed, null, null);
  }

  private static PointConfig state(Map<String, String> values) {
    return new PointConfig(PLACE, null, null, null, false, values, null, false, null, null);
  }

  private static boolean flagOf(PointConfig point, @Nullable Object value) throws SignalFault {
    return PointValues.flag("Enabled", point, RawValue.of(value));
  }

  private static @Nullable Object contract(Signal signal, PointConfig point, Object value)
      throws SignalFault {
    return PointValues.contract(signal, point, RawValue.of(value)).value();
  }

  /**
   * The states of the status word in IEC 61800-7-201 (CiA 402), table "state coding": operation
   * enabled is xxxx xxxx x01x 0111; the words are those of the other states, from memory.
   */
  @ParameterizedTest
  @CsvSource({
    "0x0000, false", // not ready to switch on
    "0x0040, false", // switch on disabled
    "0x0021, false", // ready to switch on
    "0x0023, false", // switched on
    "0x0027, true", // operation enabled
    "0x1637, true", // operation enabled, with remote, target reached and others
    "0x0007, false", // quick stop active
    "0x000F, false", // fault reaction active
    "0x0008, false", // fault
  })
  void operationEnabledIsOneStateOfTheStatusWord(String word, boolean enabled) throws SignalFault {
    PointConfig point = PointConfig.plain(PLACE).masked(0x6F, 0x27L);

    assertThat(flagOf(point, Integer.decode(word))).isEqualTo(enabled);
  }

  @Test
  void oneBitOfAWordIsAFlag() throws SignalFault {
    assertThat(flagOf(flag(1L << 10, null, false), 0x0400)).isTrue();
    assertThat(flagOf(flag(1L << 10, null, false), 0xFBFF)).isFalse();
    assertThat(flagOf(flag(1L << 10, null, true), 0x0400)).isFalse();
    assertThat(flagOf(flag(1L << 63, null, false), "9223372036854775808")).isTrue();
  }

  /** A leading zero makes no octal number: 010 is what its reader takes it for. */
  @Test
  void bitsAreComparedWithDecimalOrHexadecimalNumbers() throws SignalFault {
    assertThat(flagOf(flag(0xFFL, "010", false), 10)).isTrue();
    assertThat(flagOf(flag(0xFFL, "010", false), 8)).isFalse();
    assertThat(flagOf(flag(0xFFL, "0x10", false), 16)).isTrue();
  }

  @Test
  void aFlagIsWhatEqualsSays() throws SignalFault {
    assertThat(flagOf(flag(null, "remote", false), "remote")).isTrue();
    assertThat(flagOf(flag(null, "remote", false), "local")).isFalse();
    assertThat(flagOf(flag(null, "2", false), 2.0)).isTrue();
    assertThat(flagOf(flag(null, "2", false), "2")).isTrue();
    assertThat(flagOf(flag(null, "true", true), true)).isFalse();
  }

  @ParameterizedTest
  @ValueSource(strings = {"true", "on", "1", " TRUE "})
  void plainTextThatSaysYesIsTrue(String text) throws SignalFault {
    assertThat(flagOf(flag(null, null, false), text)).isTrue();
  }

  @Test
  void plainTextThatSaysNeitherIsNamedWithItsPlace() {
    assertThatThrownBy(() -> flagOf(flag(null, null, false), "perhaps"))
        .isInstanceOf(SignalFault.class)
        .hasMessage(
            "signal Enabled (topic plant/saw/word) is String perhaps; expected true or false, or"
                + " `equals` in the map");
  }

  @Test
  void inchesBecomeExactLengths() throws SignalFault {
    // 1 in = 25.4 mm exactly: the international yard and pound agreement of 1959.
    PointConfig inches = length(Length.ofNm(25_400_000), false);

    assertThat(contract(Signal.POSITION_ACTUAL_VALUE, inches, 12.5))
        .isEqualTo(Length.ofNm(317_500_000));
    assertThat(contract(Signal.POSITION_ACTUAL_VALUE, inches, "0.015625"))
        .isEqualTo(Length.ofNm(396_875));
    assertThat(PointValues.deviceUnits(inches, Length.ofNm(317_500_000)))
        .isEqualByComparingTo(new BigDecimal("12.5"));
  }

  @Test
  void countsTheOtherWayRoundComeBackAsTheyWent() throws SignalFault {
    PointConfig counts = length(Length.ofNm(12_500), true);

    for (long nm : new long[] {0, 12_500, -12_500, 505_000_000, 6_200_000_000L}) {
      BigDecimal sent = PointValues.deviceUnits(counts, Length.ofNm(nm));
      assertThat(contract(Signal.POSITION_ACTUAL_VALUE, counts, sent.longValueExact()))
          .isEqualTo(Length.ofNm(nm));
    }
  }

  @Test
  void aPositionInTheWrongUnitIsNamedWithItsUnit() {
    PointConfig metres = length(Length.ofMm(1_000), false);

    assertThatThrownBy(() -> contract(Signal.POSITION_ACTUAL_VALUE, metres, 505_020))
        .hasMessageContaining("PositionActualValue (topic plant/saw/word) is 505020 of 1000 mm")
        .hasMessageContaining("check `unit`");
  }

  @Test
  void anExponentOfAnySizeIsRefusedAndNotWorkedOut() {
    assertThatThrownBy(
            () -> contract(Signal.POSITION_ACTUAL_VALUE, length(null, false), "1e999999999"))
        .isInstanceOf(SignalFault.class);
  }

  @Test
  void theSawsWordsAreTheMaps() throws SignalFault {
    PointConfig words = state(Map.of("home", "idle", "clamp", "guard-down", "3", "blade-out"));

    assertThat(contract(Signal.SAW_STATE, words, "home")).isEqualTo((long) SawState.IDLE.code());
    assertThat(contract(Signal.SAW_STATE, words, 3)).isEqualTo((long) SawState.BLADE_OUT.code());
  }

  @Test
  void aWordTheMapDoesNotNameIsNeverIdle() throws SignalFault {
    PointConfig words = state(Map.of("home", "idle"));

    for (Object word : new Object[] {"Home", "", 0, true, 1}) {
      assertThat(contract(Signal.SAW_STATE, words, word)).isEqualTo((long) SawState.UNKNOWN.code());
    }
  }

  @Test
  void aFaultBitIsADriveFault() throws SignalFault {
    PointConfig bit = PointConfig.plain(PLACE).masked(1L << 3, null);

    assertThat(contract(Signal.FAULT_CODE, bit, 0x0008)).isEqualTo(7L);
    assertThat(contract(Signal.FAULT_CODE, bit, 0x0037)).isEqualTo(0L);
    assertThat(contract(Signal.FAULT_CODE, PointConfig.plain(PLACE), 4711)).isEqualTo(4711L);
  }

  @Test
  void aValueTheServerDoesNotVouchForIsNamed() {
    assertThatThrownBy(
            () ->
                PointValues.flag(
                    "Enabled", flag(null, null, false), RawValue.bad("Bad_SensorFailure")))
        .hasMessage(
            "signal Enabled (topic plant/saw/word) is not good: Bad_SensorFailure; check it at the"
                + " device");
  }
}
