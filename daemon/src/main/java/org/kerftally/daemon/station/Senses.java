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

  Senses seeing(@Nullable DeviceSnapshot next) {
    return new Senses(
        next,
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

  Senses waitingUntil(@Nullable Long due) {
    return new Senses(
        snapshot,
        due,
        sinceNanos,
        retryNanos,
        askedPlan,
        shown,
        prompt,
        still,
        arrivedNanos,
        idleNanos);
  }

  Senses puzzledSince(@Nullable Long since) {
    return new Senses(
        snapshot,
        answerDueNanos,
        since,
        retryNanos,
        askedPlan,
        shown,
        prompt,
        still,
        arrivedNanos,
        idleNanos);
  }

  Senses retryingAfter(long nanos) {
    return new Senses(
        snapshot,
        answerDueNanos,
        sinceNanos,
        nanos,
        askedPlan,
        shown,
        prompt,
        still,
        arrivedNanos,
        idleNanos);
  }

  Senses havingAsked(String wish) {
    return new Senses(
        snapshot,
        answerDueNanos,
        sinceNanos,
        retryNanos,
        wish,
        shown,
        prompt,
        still,
        arrivedNanos,
        idleNanos);
  }

  Senses showing(@Nullable Prompt onPanel, Prompt holding) {
    return new Senses(
        snapshot,
        answerDueNanos,
        sinceNanos,
        retryNanos,
        askedPlan,
        onPanel,
        holding,
        still,
        arrivedNanos,
        idleNanos);
  }

  Senses stalled(@Nullable Still next) {
    return new Senses(
        snapshot,
        answerDueNanos,
        sinceNanos,
        retryNanos,
        askedPlan,
        shown,
        prompt,
        next,
        arrivedNanos,
        idleNanos);
  }

  Senses arrived(@Nullable Long since) {
    return new Senses(
        snapshot,
        answerDueNanos,
        sinceNanos,
        retryNanos,
        askedPlan,
        shown,
        prompt,
        still,
        since,
        idleNanos);
  }

  Senses idleFrom(@Nullable Long since) {
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
        since);
  }
}
