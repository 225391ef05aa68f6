package org.kerftally.config;

import java.util.function.Function;

/**
 * Says what a key may hold.
 *
 * @param example a value that is right, as it is written in the file
 * @param reader reads the value's text; pure, never throws for any text
 * @param <T> what is read
 */
record Kind<T>(String example, Function<String, Reading<T>> reader) {

  Reading<T> read(String text) {
    return reader.apply(text);
  }

  /** Returns the same kind with another example. */
  Kind<T> like(String otherExample) {
    return new Kind<>(otherExample, reader);
  }
}
