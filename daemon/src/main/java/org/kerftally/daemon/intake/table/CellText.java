package org.kerftally.daemon.intake.table;

import java.text.Normalizer;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Cleans the text of a cell and finds what it may not hold.
 *
 * <p>Names travel from here into file names, pages, labels and the cut log, so a character that
 * shows nothing or turns the writing direction is stopped here: two names that look the same are
 * the same. Tabs and blanks of every kind become plain blanks.
 */
final class CellText {

  /** The most characters of one cell. */
  static final int MAX_CHARS = 200;

  private static final int ZERO_WIDTH_NON_JOINER = 0x200C;
  private static final int ZERO_WIDTH_JOINER = 0x200D;

  private CellText() {}

  /** Returns the text in NFC with plain blanks and without blanks around it. */
  static String clean(String raw) {
    StringBuilder plain = new StringBuilder(raw.length());
    for (int i = 0; i < raw.length(); i++) {
      char c = raw.charAt(i);
      boolean blank = c == '\t' || Character.getType(c) == Character.SPACE_SEPARATOR;
      plain.append(blank ? ' ' : c);
    }
    return Normalizer.normalize(plain.toString().strip(), Normalizer.Form.NFC);
  }

  /** Returns what a cleaned text may not hold, in words, or {@code null} when it is fine. */
  static @Nullable String flaw(String text) {
    if (text.length() > MAX_CHARS) {
      return Cell.quote(text)
          + " has "
          + text.length()
          + " characters, and a value may have "
          + MAX_CHARS;
    }
    int index = 0;
    while (index < text.length()) {
      int codePoint = text.codePointAt(index);
      if (isInvisible(codePoint)) {
        boolean lineBreak = codePoint == '\n' || codePoint == '\r';
        return Cell.quote(text)
            + (lineBreak ? " has a line break" : " has the invisible character " + name(codePoint));
      }
      index += Character.charCount(codePoint);
    }
    return null;
  }

  /** Tells whether a character shows nothing, turns the writing direction, or is half of one. */
  static boolean isInvisible(int codePoint) {
    return switch (Character.getType(codePoint)) {
      case Character.CONTROL,
          Character.SURROGATE,
          Character.PRIVATE_USE,
          Character.LINE_SEPARATOR,
          Character.PARAGRAPH_SEPARATOR ->
          true;
      // Some scripts need the joiners to be spelt right.
      case Character.FORMAT -> codePoint != ZERO_WIDTH_JOINER && codePoint != ZERO_WIDTH_NON_JOINER;
      default -> false;
    };
  }

  static String name(int codePoint) {
    return String.format(Locale.ROOT, "U+%04X", codePoint);
  }
}
