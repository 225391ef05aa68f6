package org.kerftally.daemon.intake.folder;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import org.kerftally.shared.problem.Problem;

/**
 * Writes why a file was refused, for the person who dropped it:
 *
 * <pre>
 * Refused: supers.csv
 * At: 2027-03-01T09:15:02Z
 *
 * line 7, length: "12,5x" has the unit "x", which is not known → use mm, cm, m, in or ft
 * the file names no part → write a line for each part, with its length
 *
 * What to do: mend supers.csv and drop it into the inbox again.
 * </pre>
 *
 * <p>Plain text in UTF-8, lines end with LF.
 */
final class WhyText {

  private WhyText() {}

  /**
   * Returns the content of the file.
   *
   * @param what what was refused
   * @param at when
   * @param problems why, at least one
   * @param next what to do now, a sentence
   */
  static byte[] of(String what, Instant at, List<Problem> problems, String next) {
    StringBuilder text = new StringBuilder();
    text.append("Refused: ").append(oneLine(what)).append('\n');
    text.append("At: ").append(at.truncatedTo(ChronoUnit.SECONDS)).append("\n\n");
    for (Problem problem : problems) {
      text.append(line(problem)).append('\n');
    }
    text.append("\nWhat to do: ").append(oneLine(next)).append('\n');
    return text.toString().getBytes(StandardCharsets.UTF_8);
  }

  /** Returns a problem in one line, without the file's name. */
  static String line(Problem problem) {
    StringBuilder line = new StringBuilder();
    if (problem.line() > 0) {
      line.append("line ").append(problem.line());
    }
    if (problem.column() != null) {
      line.append(line.length() > 0 ? ", " : "").append(problem.column());
    }
    line.append(line.length() > 0 ? ": " : "").append(problem.message());
    if (problem.hint() != null) {
      line.append(" → ").append(problem.hint());
    }
    return oneLine(line.toString());
  }

  private static String oneLine(String text) {
    return text.replaceAll("\\R", " ");
  }
}
