package org.kerftally.sim.cli;

/** Names the exit codes of the command line contract that this program uses. */
final class ExitCodes {

  /** Done. */
  static final int DONE = 0;

  /** Something in what was given is wrong. */
  static final int WRONG_INPUT = 1;

  /** Wrong usage. */
  static final int WRONG_USAGE = 2;

  /** A fault of the program's own. */
  static final int OWN_FAULT = 70;

  private ExitCodes() {}
}
