package org.kerftally.shared.device;

/** Says where the saw is in its cycle, as the device reports it. */
public enum SawState {
  /** The device cannot say; never taken as idle. */
  UNKNOWN(0),
  /** Guard up, blade in: the stop may move. */
  IDLE(1),
  /** The guard clamps the workpiece, the blade is in. */
  GUARD_DOWN(2),
  /** The blade is out of the table. */
  BLADE_OUT(3);

  private final int code;

  SawState(int code) {
    this.code = code;
  }

  /** Returns the number that stands for this state in the OPC UA device contract. */
  public int code() {
    return code;
  }

  /** Returns the state for a number, {@link #UNKNOWN} for any number that is not in use. */
  public static SawState ofCode(long code) {
    for (SawState state : values()) {
      if (state.code == code) {
        return state;
      }
    }
    return UNKNOWN;
  }
}
