package org.kerftally.config;

/**
 * States what the operator tells through the device, and what stands in where a device cannot.
 *
 * @param stickLoaded how a loaded stick becomes known
 * @param acknowledge how the operator clears a stop of the station
 */
public record OperatorConfig(StickLoaded stickLoaded, Acknowledge acknowledge) {

  /** Both by signals of the device. */
  public static final OperatorConfig DEFAULT =
      new OperatorConfig(StickLoaded.SIGNAL, Acknowledge.SIGNAL);

  /** Names how a loaded stick becomes known. */
  public enum StickLoaded {
    /** The device says so, with the measured length where it measures. */
    SIGNAL("signal"),
    /** The stick that was asked for is taken as loaded. */
    ASSUMED("assumed");

    private final String word;

    StickLoaded(String word) {
      this.word = word;
    }

    /** Returns the word used in files. */
    public String word() {
      return word;
    }
  }

  /** Names how the operator clears a stop of the station. */
  public enum Acknowledge {
    /** A button of the device. */
    SIGNAL("signal"),
    /** Remote allowed, switched off and on again, stands in for the button. */
    REMOTE_SWITCH("remote-switch");

    private final String word;

    Acknowledge(String word) {
      this.word = word;
    }

    /** Returns the word used in files. */
    public String word() {
      return word;
    }
  }
}
