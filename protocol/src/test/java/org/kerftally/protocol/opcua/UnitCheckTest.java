package org.kerftally.protocol.opcua;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

final class UnitCheckTest {

  /** OPC UA part 8, 5.6.4.3: a code's characters, one byte each, the first the highest. */
  @ParameterizedTest
  @CsvSource({"MMT, 5066068", "INH, 4804168", "MTR, 5067858", "4H, 13384"})
  void aCodeIsStatedAsTheNumberItsCharactersMake(String code, int number) {
    assertThat(UnitCheck.packed(code)).isEqualTo(number);
  }
}
