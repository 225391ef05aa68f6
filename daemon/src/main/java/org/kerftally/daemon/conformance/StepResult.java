package org.kerftally.daemon.conformance;

/**
 * Says what came of one step.
 *
 * @param seen what was seen, or why nothing was looked at
 */
public record StepResult(Step step, Verdict verdict, String seen) {

  /** Names what can come of a step. */
  public enum Verdict {
    /** As expected. */
    PASS("pass"),
    /** Otherwise. */
    FAIL("FAIL"),
    /** Not looked at. */
    NOT_TESTED("not tested");

    private final String word;

    Verdict(String word) {
      this.word = word;
    }

    /** Returns the word in the table. */
    public String word() {
      return word;
    }
  }
}
