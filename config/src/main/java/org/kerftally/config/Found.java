package org.kerftally.config;

/** Shows what was found in a file, so that it is safe to print: short, on one line, quoted. */
final class Found {

  /** Longer text is cut: nobody reads it, and a hostile file would fill the terminal. */
  static final int MAX_SHOWN_CHARS = 60;

  private Found() {}

  /** Returns the text in quotes, cut to {@value #MAX_SHOWN_CHARS}, control characters escaped. */
  static String quote(String text) {
    return '"' + visible(text, MAX_SHOWN_CHARS) + '"';
  }

  /** Returns the text cut to a length, control characters escaped. */
  static String visible(String text, int mostChars) {
    StringBuilder shown = new StringBuilder();
    for (int i = 0; i < Math.min(text.length(), mostChars); i++) {
      char c = text.charAt(i);
      boolean pair =
          Character.isHighSurrogate(c)
              && i + 1 < text.length()
              && Character.isLowSurrogate(text.charAt(i + 1));
      if (pair) {
        shown.append(c).append(text.charAt(++i));
      } else if (isHidden(c)) {
        shown.append(escape(c));
      } else {
        shown.append(c);
      }
    }
    return shown.append(text.length() > mostChars ? "…" : "").toString();
  }

  /** Tells whether a character has no shape of its own or could steer a terminal. */
  static boolean isHidden(char c) {
    return switch (Character.getType(c)) {
      case Character.CONTROL,
          Character.FORMAT,
          Character.SURROGATE,
          Character.LINE_SEPARATOR,
          Character.PARAGRAPH_SEPARATOR,
          Character.UNASSIGNED ->
          true;
      default -> false;
    };
  }

  /** Returns the character as a YAML escape of four hex digits: {@code \}{@code u0007}. */
  static String escape(char c) {
    String hex = Integer.toHexString(c);
    return "\\u" + "0".repeat(4 - hex.length()) + hex;
  }
}
