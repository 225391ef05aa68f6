package org.kerftally.daemon.trace;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Timeout;
import org.kerftally.daemon.trace.TraceReader.Reading;

/**
 * Holds that any bytes in the place of a trace are lines that are written again as the same and can
 * be run again, or end in a problem that names its line.
 */
final class TraceFuzzTest {

  private static final int LONGEST_PROBLEM_CHARS = 1_000;

  /** So many decisions are run again: a made-up state may take the core long over each. */
  private static final int MOST_DECISIONS = 100;

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void aTraceIsReadAndRunAgainOrEndsInAProblemWithItsLine(byte[] input) throws IOException {
    TraceCodec codec = new TraceCodec();
    Replay replay = new Replay();
    int decisions = 0;
    try (TraceReader reader = new TraceReader(new ByteArrayInputStream(input), "fuzz")) {
      Reading next = reader.next();
      for (; next instanceof Reading.Read read; next = reader.next()) {
        String text = codec.encode(read.line());
        assertThat(text).doesNotContain("\n");
        if (decisions < MOST_DECISIONS && replay.take(read.line()) != null) {
          decisions++;
        }
      }
      if (next instanceof Reading.Wrong wrong) {
        String problem = wrong.problem().text();
        assertThat(problem).contains("fuzz, line ").hasSizeLessThan(LONGEST_PROBLEM_CHARS);
        assertThat(problem.chars().noneMatch(Character::isISOControl)).as(problem).isTrue();
      }
    }
  }
}
