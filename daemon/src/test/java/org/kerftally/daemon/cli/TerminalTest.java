package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.results.PlanTable;

final class TerminalTest {

  @Test
  void itIsAsWideAsItSaysWithinReason() {
    assertThat(Terminal.of(Map.of("COLUMNS", "120"), StandardCharsets.UTF_8).width())
        .isEqualTo(120);
    assertThat(Terminal.of(Map.of(), StandardCharsets.UTF_8).width()).isEqualTo(80);
    assertThat(Terminal.of(Map.of("COLUMNS", "wide"), StandardCharsets.UTF_8).width())
        .isEqualTo(80);
    assertThat(Terminal.of(Map.of("COLUMNS", "3"), StandardCharsets.UTF_8).width())
        .isEqualTo(PlanTable.MIN_WIDTH);
    assertThat(Terminal.of(Map.of("COLUMNS", "9999"), StandardCharsets.UTF_8).width())
        .isEqualTo(PlanTable.MAX_WIDTH);
  }

  @Test
  void boxesAreDrawnOnlyWhereTheCharsetHasThem() {
    assertThat(Terminal.of(Map.of(), StandardCharsets.UTF_8).boxes()).isTrue();
    assertThat(Terminal.of(Map.of(), StandardCharsets.US_ASCII).boxes()).isFalse();
    assertThat(Terminal.of(Map.of(), StandardCharsets.ISO_8859_1).boxes()).isFalse();
  }
}
