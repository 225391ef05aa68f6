package org.kerftally.daemon.intake.table;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.problem.Problem;

/**
 * Collects everything that is wrong with one file, in the order of its lines.
 *
 * <p>The list is bounded; what goes beyond it is counted, and the last entry says how many more
 * there are. For one thread.
 */
public final class Problems {

  /** The most problems of one file that are spelt out. */
  public static final int MAX_PROBLEMS = 1_000;

  private final String file;
  private final List<Problem> list = new ArrayList<>();
  private int more;

  /** Starts an empty collection for the named file. */
  public Problems(String file) {
    this.file = file;
  }

  /** Adds a problem at a line, 0 for the file as a whole. */
  public void add(int line, @Nullable String column, String message, @Nullable String hint) {
    if (list.size() < MAX_PROBLEMS) {
      list.add(new Problem(file, line, column, message, hint));
    } else {
      more++;
    }
  }

  /** Adds a problem at a cell. */
  public void add(Cell cell, String message, @Nullable String hint) {
    add(cell.line(), cell.column(), message, hint);
  }

  /** Tells whether nothing was added yet. */
  public boolean isEmpty() {
    return list.isEmpty();
  }

  /** Returns the problems by line, those of the whole file first. */
  public List<Problem> list() {
    List<Problem> all = new ArrayList<>(list);
    all.sort((a, b) -> Integer.compare(a.line(), b.line()));
    if (more > 0) {
      all.add(
          new Problem(
              file,
              0,
              null,
              more + " more problems are not listed",
              "mend these first and drop the file again"));
    }
    return List.copyOf(all);
  }
}
