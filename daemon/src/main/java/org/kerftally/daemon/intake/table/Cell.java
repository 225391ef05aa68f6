package org.kerftally.daemon.intake.table;

/**
 * Holds one value of a file with its place.
 *
 * @param line the line it begins on, counted from 1
 * @param column the column's header, or the path in a JSON file: {@code parts[3].length}
 * @param text the value in NFC, without blanks around it; empty for an empty cell
 * @param refused whether the value was reported already and stands for nothing
 */
public record Cell(int line, String column, String text, boolean refused) {

  private static final int SHOWN_CHARS = 40;

  /** Returns an empty cell. */
  static Cell empty(int line, String column) {
    return new Cell(line, column, "", false);
  }

  /** Tells whether nothing is written in it. */
  public boolean isEmpty() {
    return text.isEmpty();
  }

  /** Returns the value in quotation marks for a message, cut short when it is long. */
  public String quoted() {
    return quote(text);
  }

  /** Returns any text in quotation marks, made visible and cut short when it is long. */
  public static String quote(String text) {
    return '"' + visible(text, SHOWN_CHARS) + '"';
  }

  /** Returns any text made visible and cut to so many characters. */
  static String visible(String text, int mostChars) {
    StringBuilder shown = new StringBuilder();
    int count = 0;
    for (int i = 0; i < text.length(); i += Character.charCount(text.codePointAt(i))) {
      if (count++ == mostChars) {
        return shown.append('…').toString();
      }
      int codePoint = text.codePointAt(i);
      shown.append(
          CellText.isInvisible(codePoint)
              ? "<" + CellText.name(codePoint) + ">"
              : Character.toString(codePoint));
    }
    return shown.toString();
  }
}
