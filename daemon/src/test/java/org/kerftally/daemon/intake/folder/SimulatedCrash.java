package org.kerftally.daemon.intake.folder;

/** Ends the process, as far as a test is concerned: nothing may catch it. */
final class SimulatedCrash extends Error {

  SimulatedCrash(String where) {
    super("crash at " + where, null, false, false);
  }
}
