package org.kerftally.shared.event;

/** Names a station's state in the words of ISA-TR88.00.02 (PackML). */
public enum StationMode {
  /** Nothing to cut. */
  IDLE,
  /** A job is being cut. */
  EXECUTE,
  /** Waiting for the operator: pause switch, or an acknowledge after a restart or reconnect. */
  HELD,
  /** Waiting for something outside: a stick, a permit, a plan, the link. */
  SUSPENDED,
  /** A fault stands, or stood and has not been acknowledged. */
  ABORTED,
  /** The last job is cut and none waits. */
  COMPLETE,
  /** The service does not drive this station now. */
  STOPPED
}
