package org.kerftally.sim;

import java.time.Duration;

/**
 * Describes the person at the machine. Every time is the middle of a spread: the deed itself comes
 * up to three tenths earlier or later.
 *
 * @param present whether anybody is there; without an operator only scripts and tests press and cut
 * @param loading from the prompt to a loaded stick
 * @param reaction from a reached target to the stroke, and from a prompt to "acknowledge"
 * @param inspection from the end of a cycle until the piece is judged
 * @param patience how long a prompt stays unchanged after it was followed until it is followed
 *     again, as a person does who sees the machine still asking
 * @param rejectRate which part of the pieces is rejected, 0 to 1
 * @param measures whether the machine measures a loaded stick
 * @param lookUp after a rejection, how long the operator looks at the panel for what comes next
 *     before the next stroke
 */
public record OperatorModel(
    boolean present,
    Duration loading,
    Duration reaction,
    Duration inspection,
    Duration patience,
    double rejectRate,
    boolean measures,
    Duration lookUp) {

  /** A steady operator who rejects one piece in fifty. */
  public static final OperatorModel STANDARD =
      new OperatorModel(
          true,
          Duration.ofSeconds(6),
          Duration.ofMillis(900),
          Duration.ofMillis(800),
          Duration.ofSeconds(60),
          0.02,
          true,
          Duration.ofSeconds(2));

  /** Nobody at the machine. */
  public static final OperatorModel ABSENT =
      new OperatorModel(
          false,
          STANDARD.loading,
          STANDARD.reaction,
          STANDARD.inspection,
          STANDARD.patience,
          0,
          true,
          STANDARD.lookUp);

  /** Checks the rate and that no deed takes no time. */
  public OperatorModel {
    if (!(rejectRate >= 0 && rejectRate <= 1)) {
      throw new IllegalArgumentException("the reject rate must be 0 to 1: " + rejectRate);
    }
    for (Duration time : new Duration[] {loading, reaction, inspection, patience, lookUp}) {
      if (time.isNegative() || time.isZero()) {
        throw new IllegalArgumentException("an operator's deed must take time: " + time);
      }
    }
  }

  /** Returns the same operator with another reject rate. */
  public OperatorModel withRejectRate(double rate) {
    return new OperatorModel(
        present, loading, reaction, inspection, patience, rate, measures, lookUp);
  }

  /**
   * Returns the same operator, who waits at least so long for what the machine says next: the two
   * waits that stand for the other side's answer have a floor, the deeds have none.
   */
  OperatorModel waitingAtLeast(Duration leastPatience, Duration leastLookUp) {
    return new OperatorModel(
        present,
        loading,
        reaction,
        inspection,
        longer(patience, leastPatience),
        rejectRate,
        measures,
        longer(lookUp, leastLookUp));
  }

  private static Duration longer(Duration one, Duration other) {
    return one.compareTo(other) < 0 ? other : one;
  }
}
