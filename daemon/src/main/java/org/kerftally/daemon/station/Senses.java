package org.kerftally.daemon.station;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;

/**
 * Holds what a station knows only for now: lost on a restart, and rightly so.
 *
 * @param snapshot the device as last read, or {@code null} while the link is down
 * @param answerDueNanos when the open target becomes void, on the monotonic clock; {@code null}
 *     when nothing is waited for or the target was set before the last restart
 * @param sinceNanos since when counts do not fit together, on the monotonic clock, or {@code null}
 * @param retryNanos not before this may the next target be set after a refusal, monotonic clock
 * @param askedPlan the wish for a plan that was passed on last, or the empty text
 * @param shown the prompt shown last
 * @param prompt the prompt that holds now
 * @param still where the stop stands short of its target, or {@code null} when it does not
 * @param arrivedNanos since when the stop stands where a move led at which nothing is cut, on the
 *     monotonic clock, or {@code null} when it does not
 * @param idleNanos since when there is no work and the stop might park, on the monotonic clock, or
 *     {@code null} when there is or it might not
 */
public record Senses(
    @Nullable DeviceSnapshot snapshot,
    @Nullable Long answerDueNanos,
    @Nullable Long sinceNanos,
    long retryNanos,
    String askedPlan,
    @Nullable Prompt shown,
    Prompt prompt,
    @Nullable Still still,
    @Nullable Long arrivedNanos,
    @Nullable Long idleNanos) {

  /** Says where the stop stands still, and since when on the monotonic clock. */
  record Still(Length position, long sinceNanos) {}

  /** What a station knows before anything was heard. */
  public static final Senses NONE =
      new Senses(null, null, null, Long.MIN_VALUE, "", null, Prompt.NONE, null, null, null);

  Senses seeing(@Nullable DeviceSnapshot newest) {
    Change next = new Change(this);
    next.snapshot = newest;
    return next.made();
  }

  Senses waitingUntil(@Nullable Long due) {
    Change next = new Change(this);
    next.answerDueNanos = due;
    return next.made();
  }

  Senses puzzledSince(@Nullable Long since) {
    Change next = new Change(this);
    next.sinceNanos = since;
    return next.made();
  }

  Senses retryingAfter(long nanos) {
    Change next = new Change(this);
    next.retryNanos = nanos;
    return next.made();
  }

  Senses havingAsked(String wish) {
    Change next = new Change(this);
    next.askedPlan = wish;
    return next.made();
  }

  Senses showing(@Nullable Prompt onPanel, Prompt holding) {
    Change next = new Change(this);
    next.shown = onPanel;
    next.prompt = holding;
    return next.made();
  }

  Senses stalled(@Nullable Still place) {
    Change next = new Change(this);
    next.still = place;
    return next.made();
  }

  Senses arrived(@Nullable Long since) {
    Change next = new Change(this);
    next.arrivedNanos = since;
    return next.made();
  }

  Senses idleFrom(@Nullable Long since) {
    Change next = new Change(this);
    next.idleNanos = since;
    return next.made();
  }

  /** Is a copy in which some of it is another. */
  private static final class Change {
    private @Nullable DeviceSnapshot snapshot;
    private @Nullable Long answerDueNanos;
    private @Nullable Long sinceNanos;
    private long retryNanos;
    private String askedPlan;
    private @Nullable Prompt shown;
    private Prompt prompt;
    private @Nullable Still still;
    private @Nullable Long arrivedNanos;
    private @Nullable Long idleNanos;

    Change(Senses s) {
      snapshot = s.snapshot;
      answerDueNanos = s.answerDueNanos;
      sinceNanos = s.sinceNanos;
      retryNanos = s.retryNanos;
      askedPlan = s.askedPlan;
      shown = s.shown;
      prompt = s.prompt;
      still = s.still;
      arrivedNanos = s.arrivedNanos;
      idleNanos = s.idleNanos;
    }

    Senses made() {
      return new Senses(
          snapshot,
          answerDueNanos,
          sinceNanos,
          retryNanos,
          askedPlan,
          shown,
          prompt,
          still,
          arrivedNanos,
          idleNanos);
    }
  }
}
