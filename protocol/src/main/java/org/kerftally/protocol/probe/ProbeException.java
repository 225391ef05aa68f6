package org.kerftally.protocol.probe;

/** Says why a device cannot be looked at at all, and what to mend. */
public final class ProbeException extends Exception {

  /** Makes it. */
  public ProbeException(String reason, Throwable cause) {
    super(reason, cause);
  }

  /** Makes it. */
  public ProbeException(String reason) {
    super(reason);
  }

  /** Returns the reason in words for the person who has to mend it. */
  public String reason() {
    return String.valueOf(getMessage());
  }
}
