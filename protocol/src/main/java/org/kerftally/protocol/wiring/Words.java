package org.kerftally.protocol.wiring;

/** Makes words of a device fit to stand in a log, on a page and in a line of a file. */
public final class Words {

  private static final int BRIEF_CHARS = 40;

  private Words() {}

  /** Tells whether a text has no control character, a line break among them. */
  public static boolean areOnOneLine(String text) {
    return text.chars().noneMatch(Character::isISOControl);
  }

  /** Returns the text cut to a length, with a blank for every control character. */
  public static String onOneLine(String text, int mostChars) {
    String cut = text.length() > mostChars ? text.substring(0, mostChars) : text;
    if (areOnOneLine(cut)) {
      return cut;
    }
    StringBuilder line = new StringBuilder(cut.length());
    cut.chars().forEach(c -> line.append(Character.isISOControl(c) ? ' ' : (char) c));
    return line.toString();
  }

  /** Returns the beginning of the text, on one line. */
  public static String brief(String text) {
    return onOneLine(text, BRIEF_CHARS) + (text.length() > BRIEF_CHARS ? "…" : "");
  }
}
