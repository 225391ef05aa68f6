package org.kerftally.config.wiring;

import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Names what stands in for a signal that a device does not have, and what is lost by it.
 *
 * <p>Each has one word, which the configuration has to say: so nobody loses a guarantee without
 * having written it down.
 */
public enum StandIn {
  /** Kerftally remembers its own number. */
  ACTIVE_SEQUENCE(
      "ActiveSequence",
      "remembered",
      "Kerftally remembers which target it sent last over the present connection",
      "after a lost connection the target on its way is given up, and a cut made by it meanwhile is"
          + " not booked as its part"),
  /** A connection is a power-up. */
  BOOT_ID(
      "BootId",
      "connection",
      "each new connection counts as a power-up of the device",
      "cuts made while the link was away are booked by count alone, as unattributed; a power-up that"
          + " leaves the connection standing is not noticed"),
  /** The count is watched. */
  LAST_CUT(
      "LastCut",
      "watched",
      "Kerftally notes target and position itself when it sees the cut count go up",
      "a cut made while the link was away, or one of two between two readings, is booked as"
          + " unattributed: its piece is not counted as a part"),
  /** By position. */
  TARGET_REACHED(
      "TargetReached",
      "by-position",
      "the stop counts as in position while it reads within the station's window of its target",
      "a drive that still hunts around its target can count as in position early; give it time with"
          + " `in-position: { dwell: 200 ms }`"),
  /** The machine's own interlock. */
  SAW_STATE(
      "SawState",
      "machine-interlock",
      "you state that the machine itself keeps the stop still unless the guard is up and the blade"
          + " is in",
      "Kerftally sends a target whatever the saw is doing; if the machine does not hold the stop by"
          + " itself, the stop can move against a clamped workpiece or a turning blade"),
  /** Taken as homed. */
  HOMING_ATTAINED(
      "HomingAttained",
      "assumed",
      "the drive counts as homed for as long as it reports no fault",
      "a drive that lost its reference without a fault is sent targets, and cuts wrong lengths that"
          + " no signal shows"),
  /** Taken as enabled. */
  ENABLED(
      "Enabled",
      "assumed",
      "the drive counts as enabled for as long as it reports no fault",
      "a target sent to a disabled drive is only noticed because the stop does not get there"),
  /** Taken as allowed. */
  REMOTE_ALLOWED(
      "RemoteAllowed",
      "assumed",
      "remote counts as allowed at all times",
      "a target can be sent while somebody works at the machine in local mode: the machine itself"
          + " has to refuse it"),
  /** No fault known. */
  FAULT_CODE(
      "FaultCode",
      "none",
      "the device counts as free of faults",
      "a fault of the device is only noticed because the stop does not get there; downtime has no"
          + " reason in the fault log"),
  /** Heard of lately. */
  ONLINE(
      "Online",
      "heard",
      "a device counts as there from its first message on, until the broker is lost",
      "a device that dies is not noticed before a target goes unanswered");

  private final String signal;
  private final String word;
  private final String standsIn;
  private final String lost;

  StandIn(String signal, String word, String standsIn, String lost) {
    this.signal = signal;
    this.word = word;
    this.standsIn = standsIn;
    this.lost = lost;
  }

  /**
   * Returns the name of the signal that is lacking; {@code LastCut} is all five of the last cut.
   */
  public String signal() {
    return signal;
  }

  /** Returns the word the configuration has to say. */
  public String word() {
    return word;
  }

  /** Returns in plain words what stands in. */
  public String standsIn() {
    return standsIn;
  }

  /** Returns in plain words which guarantee is lost. */
  public String lost() {
    return lost;
  }

  /** Returns all of it as one note for people. */
  public String note() {
    return "the device has no " + signal + ": " + standsIn + ". What is lost: " + lost + ".";
  }

  /** Returns the names of all signals that can be lacking. */
  public static List<String> names() {
    return Arrays.stream(values()).map(StandIn::signal).toList();
  }

  /** Returns the stand-in for a name, or {@code null} where nothing can stand in. */
  public static @Nullable StandIn of(String signal) {
    return Arrays.stream(values()).filter(s -> s.signal.equals(signal)).findFirst().orElse(null);
  }

  /** Returns the stand-in for a signal, or {@code null} where nothing can stand in. */
  public static @Nullable StandIn of(Signal signal) {
    return of(signal.isOfLastCut() ? LAST_CUT.signal : signal.contractName());
  }
}
