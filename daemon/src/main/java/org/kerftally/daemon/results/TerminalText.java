package org.kerftally.daemon.results;

import java.util.ArrayList;
import java.util.List;

/** Makes text fit for a terminal: harmless, no wider than asked for, in ASCII where need be. */
public final class TerminalText {

  private TerminalText() {}

  /** Replaces control and format characters: a job file must not steer the terminal. */
  public static String clean(String name) {
    StringBuilder clean = new StringBuilder(name.length());
    name.codePoints()
        .map(c -> Character.isISOControl(c) || Character.getType(c) == Character.FORMAT ? '?' : c)
        .forEach(clean::appendCodePoint);
    return clean.toString();
  }

  /** Cleans a name and cuts what is longer than so many characters, which an ellipsis shows. */
  public static String cut(String name, int maxChars) {
    String clean = clean(name);
    if (clean.codePointCount(0, clean.length()) <= maxChars) {
      return clean;
    }
    return clean.substring(0, clean.offsetByCodePoints(0, maxChars - 1)) + "…";
  }

  /** Puts words in rows of at most so many columns; a longer word has a row of its own. */
  static List<String> wrapped(List<String> words, String between, int columns) {
    List<String> rows = new ArrayList<>();
    StringBuilder row = new StringBuilder();
    for (int i = 0; i < words.size(); i++) {
      String word = words.get(i) + (i < words.size() - 1 ? between : "");
      if (row.length() > 0 && row.length() + word.stripTrailing().length() > columns) {
        rows.add(row.toString().stripTrailing());
        row.setLength(0);
      }
      row.append(word);
    }
    rows.add(row.toString());
    return rows;
  }

  /** Writes in ASCII what has a plain likeness, and a question mark for what has none. */
  static String ascii(String text) {
    return text.replace('×', 'x')
        .replace('–', '-')
        .replace('≈', '~')
        .replace("…", "~")
        .replaceAll("[^\\p{ASCII}]", "?");
  }
}
