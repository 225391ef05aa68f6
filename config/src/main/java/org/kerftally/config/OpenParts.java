package org.kerftally.config;

import org.jspecify.annotations.Nullable;

/**
 * Says how many parts may be open at once, as the file says it: a number, or {@code fewest}.
 *
 * @param most the number, at least 1, or {@code null} for as few as can be
 */
record OpenParts(@Nullable Integer most) {

  static final OpenParts FEWEST = new OpenParts(null);

  /** More piles than a saw has room for; above it the order is as good as free. */
  static final int LARGEST = 1_000;

  static final String WORD = "fewest";

  /** Returns it as it is written in the file. */
  String text() {
    return most == null ? WORD : most.toString();
  }

  static Reading<OpenParts> read(String text) {
    if (text.equals(WORD)) {
      return Reading.of(FEWEST);
    }
    String expected = "a whole number from 1 to " + LARGEST + ", or " + WORD;
    if (!text.matches("[0-9]{1,4}")) {
      return Reading.not(text, expected);
    }
    int most = Integer.parseInt(text);
    return most >= 1 && most <= LARGEST
        ? Reading.of(new OpenParts(most))
        : Reading.not(text, expected);
  }
}
