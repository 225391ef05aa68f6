package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.kerftally.shared.problem.Problem;

class WriteQueueTest {

  private static final long MS = 1_000_000;
  private static final Problem FULL = new Problem("a", 0, null, "full", null);

  private final WriteQueue<String> queue = new WriteQueue<>();

  @Test
  void whatIsWantedFirstIsWrittenAtOnceThenAtMostFourTimesASecond() {
    queue.want("a", 0);
    assertThat(queue.take(0)).contains("a");
    queue.written("a", 5 * MS, 5 * MS);
    queue.want("a", 6 * MS);
    queue.want("a", 7 * MS);
    assertThat(queue.take(254 * MS)).isEmpty();
    assertThat(queue.nanosUntilDue(254 * MS)).isEqualTo(MS);
    assertThat(queue.take(255 * MS)).contains("a");
    queue.written("a", 255 * MS, 0);
    assertThat(queue.take(1_000 * MS)).isEmpty();
    assertThat(queue.nanosUntilDue(1_000 * MS)).isEqualTo(-1);
  }

  @Test
  void slowWritesAreMadeLessOften() {
    queue.want("a", 0);
    queue.take(0);
    queue.written("a", 0, 100 * MS);
    queue.want("a", 1);
    assertThat(queue.take(1_999 * MS)).isEmpty();
    assertThat(queue.take(2_000 * MS)).contains("a");
  }

  @Test
  void aChangeDuringTheWriteIsWrittenToo() {
    queue.want("a", 0);
    queue.take(0);
    queue.want("a", 1);
    queue.written("a", 2, 1);
    assertThat(queue.take(300 * MS)).contains("a");
  }

  @Test
  void failuresAreTriedAgainLaterAndLaterUntilOneSucceeds() {
    queue.want("a", 0);
    long now = 0;
    long span = WriteQueue.FIRST_RETRY_NANOS;
    for (int i = 0; i < 40; i++) {
      assertThat(queue.take(now)).contains("a");
      queue.failed("a", now, FULL);
      assertThat(queue.problems()).containsExactly(FULL);
      queue.want("a", now);
      assertThat(queue.take(now + span - 1)).isEmpty();
      now += span;
      span = Math.min(WriteQueue.MAX_RETRY_NANOS, 2 * span);
    }
    assertThat(queue.take(now)).contains("a");
    queue.written("a", now, 0);
    assertThat(queue.problems()).isEmpty();
  }

  @Test
  void oneFailingFileDoesNotHoldOthersUp() {
    queue.want("a", 0);
    queue.want("b", 0);
    assertThat(queue.take(0)).contains("a");
    queue.failed("a", 0, FULL);
    assertThat(queue.take(0)).contains("b");
  }

  @Test
  void aClockThatWrapsChangesNothing() {
    long late = Long.MAX_VALUE - 10 * MS;
    queue.want("a", late);
    assertThat(queue.take(late)).contains("a");
    queue.written("a", late, 0);
    queue.want("a", late + 1);
    assertThat(queue.take(late + 249 * MS)).isEmpty();
    assertThat(queue.take(late + 250 * MS)).contains("a");
  }
}
