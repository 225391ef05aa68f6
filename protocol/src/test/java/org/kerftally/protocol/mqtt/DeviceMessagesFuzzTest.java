package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.Arrays;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Timeout;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.length.Length;

/**
 * Holds that any payload is a message within the contract's bounds or an error fit to be logged.
 * The first byte of an input chooses the topic: 0 status, 1 cut, 2 reply, 3 online.
 */
class DeviceMessagesFuzzTest {

  private static final int LONGEST_ERROR_CHARS = 700;
  private static final int MOST_TEXT_CHARS = 500;
  private static final int MOST_IDENTITY_CHARS = 64;
  private static final Length FARTHEST = Length.ofMm(1_000_000);

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void aPayloadIsAMessageWithinBoundsOrSaysWhyNot(byte[] input) {
    if (input.length == 0) {
      return;
    }
    byte[] payload = Arrays.copyOfRange(input, 1, input.length);
    try {
      switch (input[0] & 3) {
        case 0 -> status(payload);
        case 1 -> cut(DeviceMessages.cut(payload));
        case 2 -> reply(payload);
        default -> online(payload);
      }
    } catch (MalformedMessageException e) {
      String message = String.valueOf(e.getMessage());
      assertThat(message.isBlank()).isFalse();
      assertThat(message.length()).as(message).isLessThan(LONGEST_ERROR_CHARS);
      assertThat(isOneLine(message)).as(message).isTrue();
    }
  }

  private static void online(byte[] payload) throws MalformedMessageException {
    boolean online = DeviceMessages.online(payload);
    assertThat(new String(payload, StandardCharsets.UTF_8).strip())
        .isEqualToIgnoringCase(String.valueOf(online));
  }

  private static void reply(byte[] payload) throws MalformedMessageException {
    LinkEvent.Replied reply = DeviceMessages.reply(payload);
    assertThat(reply.seq()).isBetween(1L, MessageFields.MAX_WHOLE_NUMBER);
    String reason = reply.reason();
    assertThat(reason == null || (!reason.isEmpty() && isText(reason))).isTrue();
  }

  private static void status(byte[] payload) throws MalformedMessageException {
    DeviceSnapshot read = DeviceMessages.status(payload);
    assertThat(isIdentity(read.boot())).isTrue();
    assertTotals(read.cutCount(), read.activeSequence());
    assertThat(read.position()).isBetween(Length.ZERO.minus(FARTHEST), FARTHEST);
    assertThat(read.faultCode()).isNotNegative();
    assertThat(isText(read.faultText())).isTrue();
    LastCut last = read.lastCut();
    if (last != null) {
      cut(last);
    }
    OperatorPanel panel = read.panel();
    assertTotals(panel.stickLoaded(), panel.rejected(), panel.defects(), panel.acknowledged());
    assertMeasured(panel.stickLength());
    assertMeasured(panel.defectAt());
  }

  private static void cut(LastCut cut) {
    assertThat(isIdentity(cut.boot())).isTrue();
    assertThat(cut.count()).isBetween(1L, MessageFields.MAX_WHOLE_NUMBER);
    assertTotals(cut.seq());
    assertThat(cut.position()).isBetween(Length.ZERO.minus(FARTHEST), FARTHEST);
    Instant at = cut.at();
    assertThat(at == null || at.toString().length() <= 30).isTrue();
  }

  private static void assertMeasured(@Nullable Length length) {
    assertThat(length == null || (!length.isNegative() && !length.isMoreThan(FARTHEST))).isTrue();
  }

  private static void assertTotals(long... totals) {
    for (long total : totals) {
      assertThat(total).isBetween(0L, MessageFields.MAX_WHOLE_NUMBER);
    }
  }

  private static boolean isIdentity(String text) {
    return !text.isBlank() && text.length() <= MOST_IDENTITY_CHARS && isOneLine(text);
  }

  private static boolean isText(String text) {
    return text.length() <= MOST_TEXT_CHARS && isOneLine(text);
  }

  private static boolean isOneLine(String text) {
    return text.chars().noneMatch(Character::isISOControl);
  }
}
