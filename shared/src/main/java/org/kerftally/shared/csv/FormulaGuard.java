package org.kerftally.shared.csv;

import java.util.regex.Pattern;

/**
 * Keeps a text from being a formula to a spreadsheet, and gives the text back.
 *
 * <p>An apostrophe is put before {@code = + - @}, plain or of full width, where a cell may begin:
 * at the text's own beginning, and behind a delimiter, a quote or a line break within it, blanks
 * between them or not, because a spreadsheet may have been told another delimiter or take no notice
 * of quotes. A text that begins with a tab or a line break gets one too. Where apostrophes stand
 * before the sign already, one more is put before them: so no two texts are written alike, and what
 * was written says what it was.
 */
public final class FormulaGuard {

  private static final String CELL_BEGINS = "(^[\\s\\u00A0]*|[,;|\"\\t\\r\\n][\\s\\u00A0]*)";
  private static final String SIGN_FOLLOWS = "(?='*[=+\\-@\uFF1D\uFF0B\uFF0D\uFF20])";
  private static final Pattern OPEN = Pattern.compile(CELL_BEGINS + SIGN_FOLLOWS);
  private static final Pattern GUARDED = Pattern.compile(CELL_BEGINS + "'" + SIGN_FOLLOWS);
  private static final Pattern BREAK_FIRST = Pattern.compile("^'*[\\t\\r\\n]");
  private static final Pattern GUARDED_BREAK = Pattern.compile("^'+[\\t\\r\\n]");

  private FormulaGuard() {}

  /** Returns the text with its guards. */
  public static String put(String text) {
    String cells = OPEN.matcher(text).replaceAll("$1'");
    return BREAK_FIRST.matcher(cells).find() ? "'" + cells : cells;
  }

  /** Returns the text that {@link #put} was given; one that never was given is itself. */
  public static String take(String guarded) {
    String cells = GUARDED_BREAK.matcher(guarded).find() ? guarded.substring(1) : guarded;
    return GUARDED.matcher(cells).replaceAll("$1");
  }
}
