package org.kerftally.daemon.cutlog;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Timeout;
import org.kerftally.shared.event.Event;

/**
 * Holds that any stored text is an event that is stored again as the same, or an error that names
 * its row. An input is a line as in {@code events-1.txt}: a kind, a blank, a JSON object.
 */
final class EventCodecFuzzTest {

  private static final long ROW = 4711;
  private static final int LONGEST_ERROR_CHARS = 2_000;

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void aStoredTextIsAnEventOrAnErrorThatNamesItsRow(byte[] input) {
    String line = new String(input, StandardCharsets.UTF_8);
    int blank = line.indexOf(' ');
    String kind = blank < 0 ? line : line.substring(0, blank);
    String body = blank < 0 ? "" : line.substring(blank + 1);
    Event event;
    try {
      event = EventCodec.decode(ROW, kind, body);
    } catch (CutLogException e) {
      String message = String.valueOf(e.getMessage());
      assertThat(message).contains("event " + ROW);
      assertThat(message.length()).as(message).isLessThan(LONGEST_ERROR_CHARS);
      assertThat(message.chars().noneMatch(Character::isISOControl)).as(message).isTrue();
      return;
    }
    EventCodec.Coded stored = EventCodec.encode(event);
    assertThat(stored.kind()).isEqualTo(kind);
    Event again = EventCodec.decode(ROW, stored.kind(), stored.body());
    assertThat(EventCodec.encode(again)).isEqualTo(stored);
    if (!hasHalfCharacter(body)) {
      assertThat(again).isEqualTo(event);
    }
  }

  /** A half of a character may stand there as an escape; stored again it is U+FFFD. */
  private static boolean hasHalfCharacter(String body) {
    return body.contains("\\u");
  }
}
