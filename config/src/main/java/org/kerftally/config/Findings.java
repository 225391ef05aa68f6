package org.kerftally.config;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.problem.Problem;

/**
 * Collects what one reading of a file finds: the problems, and the paths of the keys it gives.
 *
 * <p>Bounded: after {@value #MAX_PROBLEMS} problems only their number grows. For one thread.
 */
final class Findings {

  /** More problems than anybody mends in one go. */
  static final int MAX_PROBLEMS = 100;

  private final String file;
  private final List<Problem> problems = new ArrayList<>();
  private final Set<String> given = new HashSet<>();
  private int left;

  Findings(String file) {
    this.file = file;
  }

  /** Adds a problem; {@code line} is counted from 1, 0 for none. */
  void add(int line, @Nullable String path, String message, @Nullable String mend) {
    if (problems.size() == MAX_PROBLEMS) {
      left++;
    } else {
      problems.add(new Problem(file, line, path, message, mend));
    }
  }

  /** Notes that the file gives this key. */
  void give(String path) {
    given.add(path);
  }

  /** Returns the paths of all keys that the file gives. */
  Set<String> given() {
    return given;
  }

  boolean isEmpty() {
    return problems.isEmpty();
  }

  /** Returns the problems in the order of the file, the number of those left off at the end. */
  List<Problem> inOrder() {
    List<Problem> ordered = new ArrayList<>(problems);
    ordered.sort(Comparator.comparingInt(Problem::line));
    if (left > 0) {
      ordered.add(
          new Problem(
              file,
              0,
              null,
              left + " more problems are not listed",
              "Mend these, then read again"));
    }
    return ordered;
  }
}
