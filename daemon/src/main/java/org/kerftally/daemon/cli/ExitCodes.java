package org.kerftally.daemon.cli;

/** Names the exit codes of the command line contract. */
public final class ExitCodes {

  /** Done. */
  public static final int DONE = 0;

  /** Something in what was given is wrong or short. */
  public static final int WRONG_INPUT = 1;

  /** Wrong usage. */
  public static final int WRONG_USAGE = 2;

  /** A fault of Kerftally's own. */
  public static final int OWN_FAULT = 70;

  /** Another instance holds the folder. */
  public static final int FOLDER_HELD = 75;

  /** Bad configuration. */
  public static final int BAD_CONFIG = 78;

  private ExitCodes() {}
}
