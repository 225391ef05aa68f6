package org.kerftally.daemon.intake.table;

/** Holds what became of a file's bytes: its text, or why there is none. */
public sealed interface TextDecoding {

  /**
   * The bytes are text.
   *
   * @param text the text without its byte order mark
   */
  record Decoded(String text) implements TextDecoding {}

  /**
   * The bytes are no text that can be read.
   *
   * @param line the line of the first bad byte, or 0 where none can be named
   * @param message what was found
   * @param hint what to do
   */
  record Undecodable(int line, String message, String hint) implements TextDecoding {}
}
