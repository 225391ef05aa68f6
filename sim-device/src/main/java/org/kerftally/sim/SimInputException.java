package org.kerftally.sim;

import java.util.List;
import java.util.stream.Collectors;
import org.kerftally.shared.problem.Problem;

/** Carries everything that is wrong in the files a device was to be made from, all at once. */
public final class SimInputException extends RuntimeException {
  private static final long serialVersionUID = 1L;

  private final transient List<Problem> problems;

  /** Carries these problems, at least one. */
  public SimInputException(List<Problem> problems) {
    super(problems.stream().map(Problem::text).collect(Collectors.joining("\n")));
    this.problems = List.copyOf(problems);
  }

  /** Returns the problems in the order they were found. */
  public List<Problem> problems() {
    return problems;
  }
}
