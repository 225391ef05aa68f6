package org.kerftally.shared.length;

/** Holds what became of a text that should be a length: the length, or why there is none. */
public sealed interface LengthReading {

  /**
   * The text is a length, exactly.
   *
   * @param length the length; zero or negative where the text says so
   * @param unit the unit it was written in, or the default unit of a bare number; feet for feet and
   *     inches together
   */
  record Read(Length length, LengthUnit unit) implements LengthReading {}

  /**
   * The text is no length that can be read exactly and in only one way.
   *
   * @param message what was found, with invisible characters made visible and long text cut short
   * @param hint what to write instead
   */
  record Unreadable(String message, String hint) implements LengthReading {}
}
