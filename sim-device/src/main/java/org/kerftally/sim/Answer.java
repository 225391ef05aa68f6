package org.kerftally.sim;

/** Says what the device did with a target: at once, and for good. */
public sealed interface Answer {

  /** Returns an acceptance. */
  static Answer accepted() {
    return new Accepted();
  }

  /** Returns a refusal with its reason in plain words. */
  static Answer refused(String reason) {
    return new Refused(reason);
  }

  /** The device holds the target: its sequence number is the active one from now on. */
  record Accepted() implements Answer {}

  /**
   * The device holds what it held before and did not move.
   *
   * @param reason why, in plain words, not empty
   */
  record Refused(String reason) implements Answer {}
}
