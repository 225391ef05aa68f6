package org.kerftally.sim;

/** Names what the operator can press on the simulated machine's panel. */
public enum Button {
  /** A stick lies in the machine; may carry its measured length. */
  STICK_LOADED,
  /** The last piece is no good. */
  REJECTED,
  /** The stick has a defect; carries how much of it is sound from the leading end. */
  DEFECT,
  /** The machine was looked at and is clear. */
  ACKNOWLEDGE
}
