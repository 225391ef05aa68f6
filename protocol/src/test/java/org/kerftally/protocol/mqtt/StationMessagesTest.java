package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

class StationMessagesTest {

  private static final Instant UNTIL = Instant.parse("2027-03-01T09:15:05.123456789Z");

  @Test
  void targetSaysItsPositionExactly() {
    Target target =
        new Target(
            17, Length.ofNm(396_875), "super \"side\"", "j", UNTIL, Duration.ofSeconds(3), "b-1");

    assertThat(text(StationMessages.target(target)))
        .isEqualTo(
            "{\"seq\":17,\"position_mm\":0.396875,\"part\":\"super \\\"side\\\"\",\"job\":\"j\","
                + "\"valid_until\":\"2027-03-01T09:15:05.123Z\",\"validity_ms\":3000,"
                + "\"boot\":\"b-1\"}");
  }

  @Test
  void lengthsAreNeverWrittenWithAnExponent() {
    Target target = new Target(1, Length.ofMm(4_000), null, "j", UNTIL, Duration.ofSeconds(3));

    assertThat(text(StationMessages.target(target)))
        .contains("\"position_mm\":4000,")
        .contains("\"part\":null");
  }

  @Test
  void longNamesAreCutAndNeverPassTheBound() {
    String name = "\u0001".repeat(100_000);
    Target target = new Target(1, Length.ofMm(1), name, name, UNTIL, Duration.ofSeconds(3));
    Prompt prompt = new Prompt(Prompt.Kind.CUT, name, name, Length.ofMm(1), name);

    assertThat(StationMessages.target(target)).hasSizeLessThan(MessageFields.MAX_PAYLOAD_BYTES);
    assertThat(StationMessages.prompt(prompt)).hasSizeLessThan(MessageFields.MAX_PAYLOAD_BYTES);
  }

  @Test
  void promptSaysWhatIsWaitedFor() {
    Prompt prompt =
        new Prompt(Prompt.Kind.LOAD_STICK, "Load", "pine-19x146", Length.ofMm(2440), null);

    assertThat(text(StationMessages.prompt(prompt)))
        .isEqualTo(
            "{\"kind\":\"LOAD_STICK\",\"text\":\"Load\",\"material\":\"pine-19x146\","
                + "\"length_mm\":2440,\"label\":null}");
    assertThat(text(StationMessages.prompt(Prompt.NONE))).contains("\"length_mm\":null");
  }

  private static String text(byte[] payload) {
    return new String(payload, StandardCharsets.UTF_8);
  }
}
