package org.kerftally.daemon.results;

import org.jspecify.annotations.Nullable;

/**
 * Builds a page of HTML in which text from outside can only ever be text.
 *
 * <p>Markup goes in by {@link #raw}, which only takes what this program wrote; everything else goes
 * in by {@link #text}, which escapes it. Control characters and characters that turn the reading
 * direction are shown as the replacement character.
 */
final class Html {

  private final StringBuilder page = new StringBuilder(16_384);

  /** Adds markup of our own. */
  Html raw(String markup) {
    page.append(markup);
    return this;
  }

  /** Adds text, escaped for content and for quoted attributes; nothing for {@code null}. */
  Html text(@Nullable String text) {
    if (text != null) {
      text.codePoints().forEach(this::escape);
    }
    return this;
  }

  /** Adds a number. */
  Html number(long number) {
    page.append(number);
    return this;
  }

  private void escape(int c) {
    switch (c) {
      case '&' -> page.append("&amp;");
      case '<' -> page.append("&lt;");
      case '>' -> page.append("&gt;");
      case '"' -> page.append("&quot;");
      case '\'' -> page.append("&#39;");
      case '\t', '\n' -> page.append(' ');
      default -> page.appendCodePoint(printable(c) ? c : 0xFFFD);
    }
  }

  private static boolean printable(int c) {
    boolean turnsDirection =
        (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) || c == 0x200E || c == 0x200F;
    return !turnsDirection
        && !Character.isISOControl(c)
        && Character.getType(c) != Character.SURROGATE
        && Character.isDefined(c);
  }

  /** Returns the page. */
  @Override
  public String toString() {
    return page.toString();
  }
}
