package org.kerftally.protocol.quality;

import static org.assertj.core.api.Assertions.assertThat;

import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.protocol.probe.SignalReading;

final class LegProbeTest {

  private static SignalReading reading(String name, @Nullable String understood) {
    return new SignalReading(
        name, "node", "17", understood, null, false, SignalReading.GOOD, null, null);
  }

  private static @Nullable String said(String name, @Nullable String understood) {
    return LegProbe.explained(reading(name, understood)).understood();
  }

  @Test
  void aNumberSaysWhichTargetAndWhichOfItsMovesItMeans() {
    assertThat(said("ActiveSequence", "17")).isEqualTo("17: target 9, first of two moves");
    assertThat(said("LastCutSequence", "18")).isEqualTo("18: target 9, last move");
    assertThat(said("ActiveSequence", "4294967294"))
        .isEqualTo("4294967294: target 2147483647, last move");
  }

  @Test
  void whatIsNoNumberOfATargetStaysAsItIs() {
    for (String text : new String[] {"0", "none", "-3", "99999999999999999999", null}) {
      assertThat(said("ActiveSequence", text)).isEqualTo(text);
    }
    assertThat(said("CutCount", "17")).isEqualTo("17");
  }
}
