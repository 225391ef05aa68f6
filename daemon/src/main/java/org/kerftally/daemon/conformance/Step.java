package org.kerftally.daemon.conformance;

/** Names the steps of the device contract in the order they are taken. */
public enum Step {
  /** Every signal. */
  SIGNALS(
      "signals",
      "every signal is there, readable and of its type",
      "that Kerftally sees what the device does"),
  /** The first state. */
  FIRST_STATE(
      "first-state",
      "the first state is whole: a boot id, count and last cut that fit together",
      "that what happened unseen is settled before anything moves"),
  /** Takes a target. */
  ANSWER("answer", "a target is taken, and answered within its validity", "that it can be moved"),
  /** Echoes. */
  ECHO(
      "echo",
      "ActiveSequence shows the number of the target that was taken",
      "that a cut is booked to the target it was made at"),
  /** In position. */
  IN_POSITION(
      "in-position",
      "the stop stands within the window of its target, and TargetReached says so",
      "that parts have their length"),
  /** Not early. */
  NOT_EARLY(
      "not-early",
      "TargetReached is off until the stop stands within its window",
      "that nobody cuts while the stop still moves"),
  /** In travel. */
  IN_TRAVEL("in-travel", "the stop stays within the travel", "that the stop keeps off its ends"),
  /** Outside the travel. */
  OUT_OF_TRAVEL(
      "out-of-travel",
      "a target outside the device's travel is refused, and nothing moves",
      "that a wrong figure does not drive the stop into its end"),
  /** Old number. */
  OLD_NUMBER(
      "old-number",
      "a target with a lower number than the last is refused, and nothing moves",
      "that a target held back by a network moves nothing later"),
  /** Repeated number. */
  REPEATED_NUMBER(
      "repeated-number",
      "another target with the number of the last moves nothing",
      "that a message that comes twice does not move the stop"),
  /** Expired. */
  EXPIRED(
      "expired",
      "a target past its validity is refused or passed over, and nothing moves",
      "that the stop never moves late"),
  /** Another power-up. */
  OTHER_BOOT(
      "other-boot",
      "a target for another power-up is refused or passed over, and nothing moves",
      "that a stop just powered up does not move by what was meant before"),
  /** One stroke. */
  COUNT("count", "a stroke raises CutCount by one, exactly", "that every stroke is counted once"),
  /** Last cut. */
  LAST_CUT(
      "last-cut",
      "the last cut has the stroke's boot, count, target number and position",
      "that a stroke is booked to its part, also when nobody was looking"),
  /** Two more. */
  MORE_STROKES(
      "more-strokes",
      "two more strokes at two more targets are counted and remembered one by one",
      "that every stroke is booked to its own part"),
  /** Saw busy. */
  SAW_BUSY(
      "saw-busy",
      "while the saw is not idle a target is refused, and nothing moves",
      "that the stop keeps still at a clamped workpiece"),
  /** Remote off. */
  REMOTE_OFF(
      "remote-off",
      "while remote is off a target is refused, and nothing moves",
      "that nothing moves for whoever works at the machine"),
  /** Emergency stop. */
  EMERGENCY_STOP(
      "emergency-stop",
      "with the emergency stop pressed a target is refused, and nothing moves",
      "that the emergency stop holds"),
  /** Acknowledge. */
  ACKNOWLEDGE(
      "acknowledge",
      "a press of acknowledge raises its total by one",
      "that an operator can clear a stop of the station"),
  /** Stick loaded. */
  STICK_LOADED(
      "stick-loaded",
      "a press of stick loaded raises its total by one",
      "that the station knows when a stick is loaded"),
  /** A stroke and a lost connection. */
  STROKE_RECONNECT(
      "stroke-reconnect",
      "a stroke, then a new connection: nothing is lost and nothing doubled",
      "that a count survives a lost connection"),
  /** Reconnect. */
  RECONNECT(
      "reconnect",
      "a new connection tells the state as it is, and nothing moves",
      "that a lost connection moves nothing"),
  /** Power-up. */
  REBOOT(
      "reboot",
      "power off and on: a new boot id, the count kept or from zero, nothing moves",
      "that a power-up moves nothing and is noticed");

  private final String id;
  private final String expected;
  private final String guarantee;

  Step(String id, String expected, String guarantee) {
    this.id = id;
    this.expected = expected;
    this.guarantee = guarantee;
  }

  /** Returns the name that programs know it by. */
  public String id() {
    return id;
  }

  /** Returns what is expected of a device. */
  public String expected() {
    return expected;
  }

  /** Returns what is unproven for as long as it is not tested. */
  public String guarantee() {
    return guarantee;
  }
}
