package org.kerftally.shared.problem;

import org.jspecify.annotations.Nullable;

/**
 * Reports one thing that is wrong in what was given: a value, never thrown.
 *
 * @param file the file's name as its owner knows it, or {@code null} where there is none
 * @param line the line, counted from 1, or 0 where no line can be named
 * @param column the column's header or the key's path ({@code stations[0].kerf}), or {@code null}
 * @param message what was found and what was expected
 * @param hint what to do next, or {@code null} where the message says it already
 */
public record Problem(
    @Nullable String file,
    int line,
    @Nullable String column,
    String message,
    @Nullable String hint) {

  /** Returns one line for people: {@code jobs.csv, line 7, length: message Hint.} */
  public String text() {
    StringBuilder text = new StringBuilder();
    if (file != null) {
      text.append(file);
    }
    if (line > 0) {
      text.append(text.length() > 0 ? ", " : "").append("line ").append(line);
    }
    if (column != null) {
      text.append(text.length() > 0 ? ", " : "").append(column);
    }
    text.append(text.length() > 0 ? ": " : "").append(message);
    if (hint != null) {
      text.append(message.endsWith(".") ? " " : ". ").append(hint);
    }
    return text.toString();
  }
}
