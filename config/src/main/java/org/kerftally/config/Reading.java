package org.kerftally.config;

import org.jspecify.annotations.Nullable;

/**
 * Holds what came of reading one value.
 *
 * @param <T> what was to be read
 */
sealed interface Reading<T> {

  /** The value. */
  record Of<T>(T value) implements Reading<T> {}

  /**
   * Why there is none.
   *
   * @param found what stands there, safe to print
   * @param expected what should stand there
   * @param mend what to do, where an example does not say it
   */
  record Not<T>(String found, String expected, @Nullable String mend) implements Reading<T> {}

  /** Returns the value. */
  static <T> Reading<T> of(T value) {
    return new Of<>(value);
  }

  /** Returns that the text is not what was expected. */
  static <T> Reading<T> not(String text, String expected) {
    return new Not<>(Found.quote(text), expected, null);
  }

  /** Returns that the text is not what was expected, and what to do about it. */
  static <T> Reading<T> not(String text, String expected, String mend) {
    return new Not<>(Found.quote(text), expected, mend);
  }
}
