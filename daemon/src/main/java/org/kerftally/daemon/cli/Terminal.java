package org.kerftally.daemon.cli;

import java.nio.charset.Charset;
import java.util.Map;
import org.kerftally.daemon.results.PlanTable;

/**
 * Says what the terminal can show.
 *
 * @param width how many columns it has
 * @param boxes whether it shows box drawing characters
 */
record Terminal(int width, boolean boxes) {

  /** What a terminal has that does not say. */
  private static final int USUAL_COLUMNS = 80;

  private static final String BOXES = "┌─┬┐│░▓×–…";

  /** Returns what standard output can show: {@code COLUMNS} wide, in the locale's charset. */
  static Terminal ofStandardOutput() {
    String name = System.getProperty("stdout.encoding", System.getProperty("sun.stdout.encoding"));
    boolean known = name != null && Charset.isSupported(name);
    return of(System.getenv(), known ? Charset.forName(name) : Charset.defaultCharset());
  }

  static Terminal of(Map<String, String> environment, Charset charset) {
    String columns = environment.getOrDefault("COLUMNS", "");
    int width = columns.matches("[0-9]{1,4}") ? Integer.parseInt(columns) : USUAL_COLUMNS;
    boolean boxes = charset.canEncode() && charset.newEncoder().canEncode(BOXES);
    return new Terminal(Math.max(PlanTable.MIN_WIDTH, Math.min(PlanTable.MAX_WIDTH, width)), boxes);
  }
}
