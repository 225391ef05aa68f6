package org.kerftally.protocol.wiring;

/** Says which signal of a device cannot be used, what it is and what was expected. */
public final class SignalFault extends Exception {

  /** Makes a fault of one point: {@code signal NAME} and what is wrong with it. */
  public SignalFault(String name, String what) {
    super("signal " + name + " " + what);
  }

  /** Returns the reason in words for the person who has to mend it. */
  public String reason() {
    return String.valueOf(getMessage());
  }
}
