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
 */
public record Senses(
    @Nullable DeviceSnapshot snapshot,
    @Nullable Long answerDueNanos,
    @Nullable Long sinceNanos,
    long retryNanos,
    String askedPlan,
    @Nullable Prompt shown,
    Prompt prompt,
    @Nullable Still still) {

  /** Says where the stop stands still, and since when on the monotonic clock. */
  record Still(Length position, long sinceNanos) {}

  /** What a station knows before anything was heard. */
  public static final Senses NONE =
      new Senses(null, null, null, Long.MIN_VALUE, "", null, Prompt.NONE, null);

  Senses seeing(@Nullable DeviceSnapshot next) {
    return new Senses(
        next, answerDueNanos, sinceNanos, retryNanos, askedPlan, shown, prompt, still);
  }

  Senses waitingUntil(@Nullable Long due) {
    return new Senses(snapshot, due, sinceNanos, retryNanos, askedPlan, shown, prompt, still);
  }

  Senses puzzledSince(@Nullable Long since) {
    return new Senses(snapshot, answerDueNanos, since, retryNanos, askedPlan, shown, prompt, still);
  }

  Senses retryingAfter(long nanos) {
    return new Senses(snapshot, answerDueNanos, sinceNanos, nanos, askedPlan, shown, prompt, still);
  }

  Senses havingAsked(String wish) {
    return new Senses(snapshot, answerDueNanos, sinceNanos, retryNanos, wish, shown, prompt, still);
  }

  Senses showing(@Nullable Prompt onPanel, Prompt holding) {
    return new Senses(
        snapshot, answerDueNanos, sinceNanos, retryNanos, askedPlan, onPanel, holding, still);
  }

  Senses stalled(@Nullable Still next) {
    return new Senses(
        snapshot, answerDueNanos, sinceNanos, retryNanos, askedPlan, shown, prompt, next);
  }
}
