package org.kerftally.daemon.planning;

/**
 * Reports numbers that the planner will not take, now or later: too many pieces, or costs and
 * lengths whose sums leave the range in which it counts exactly.
 *
 * <p>It is the fault of what was given, so it carries a mend; who caught it says in which file.
 */
public final class UnplannableException extends IllegalArgumentException {

  private static final long serialVersionUID = 1L;

  private final String mend;

  UnplannableException(String message, String mend) {
    super(message);
    this.mend = mend;
  }

  /** Returns what is wrong. */
  public String reason() {
    return String.valueOf(getMessage());
  }

  /** Returns what to do about it. */
  public String mend() {
    return mend;
  }
}
