package org.kerftally.protocol.mqtt;

/**
 * Says which field of a message is wrong, what was found and what was expected. Its text may be
 * shown and logged: what it quotes from outside is short and holds no control characters.
 */
final class MalformedMessageException extends Exception {

  private static final int MAX_QUOTED_CHARS = 40;

  MalformedMessageException(String message) {
    super(message);
  }

  /** Returns a value from outside, fit to stand in a message: short, on one line. */
  static String quote(String value) {
    boolean cut = value.length() > MAX_QUOTED_CHARS;
    String shown = cut ? value.substring(0, MAX_QUOTED_CHARS) + "…" : value;
    return '"' + printable(shown) + '"';
  }

  /** Returns the text with every control character replaced by a space. */
  static String printable(String text) {
    StringBuilder shown = new StringBuilder(text.length());
    text.chars().forEach(c -> shown.append(Character.isISOControl(c) ? ' ' : (char) c));
    return shown.toString();
  }
}
