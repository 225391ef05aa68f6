package org.kerftally.protocol.opcua;

/**
 * Says why the device cannot be spoken to, in words for the person who has to mend it. Always
 * retried: whatever is wrong may be mended at the other end.
 */
final class LinkFault extends Exception {

  LinkFault(String reason) {
    super(reason);
  }

  LinkFault(String reason, Throwable cause) {
    super(reason, cause);
  }

  /** Returns the reason. */
  String reason() {
    return String.valueOf(getMessage());
  }
}
