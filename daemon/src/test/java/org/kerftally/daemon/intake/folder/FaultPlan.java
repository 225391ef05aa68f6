package org.kerftally.daemon.intake.folder;

import java.io.IOException;

/**
 * Makes the Nth step fail, counted over everything that asks it: file operations and the cut log.
 *
 * <p>A crash holds: whatever is tried after it crashes too, until the plan is replaced by a
 * restart.
 */
final class FaultPlan {

  /** How the Nth step fails. */
  enum Fault {
    /** The process ends before the step. */
    CRASH_BEFORE,
    /** The process ends in the middle of the step, where it has a middle. */
    CRASH_HALFWAY,
    /** The process ends right behind the step. */
    CRASH_AFTER,
    /** The step fails with an error and the process lives. */
    IO_ERROR
  }

  /** Never fails. */
  static FaultPlan none() {
    return new FaultPlan(Fault.IO_ERROR, Integer.MAX_VALUE);
  }

  private final Fault fault;
  private final int failAt;
  private int steps;
  private boolean crashed;

  FaultPlan(Fault fault, int failAt) {
    this.fault = fault;
    this.failAt = failAt;
  }

  /** Tells whether the planned fault happened. */
  boolean happened() {
    return steps >= failAt;
  }

  void before(String step) throws IOException {
    if (crashed) {
      throw new SimulatedCrash(step);
    }
    steps++;
    if (steps == failAt && fault == Fault.IO_ERROR) {
      throw new IOException("the " + steps + "th step failed: " + step);
    }
    if (steps == failAt && fault == Fault.CRASH_BEFORE) {
      crash("the beginning of " + step);
    }
  }

  /** Tells whether the next step ends in its middle. */
  boolean nextIsHalfway() {
    return steps + 1 == failAt && fault == Fault.CRASH_HALFWAY;
  }

  void after(String step) {
    if (steps == failAt && (fault == Fault.CRASH_AFTER || fault == Fault.CRASH_HALFWAY)) {
      crash("the end of " + step);
    }
  }

  private void crash(String where) {
    crashed = true;
    throw new SimulatedCrash(where);
  }
}
