package org.kerftally.daemon.intake.folder;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.problem.Problem;

/**
 * Shows how the office's stock file stands.
 *
 * @param sha256 the content that is in force, or {@code null} when none ever was
 * @param problems what is wrong with the file as it is now; empty when it is the one in force
 * @param trouble why the file cannot be looked at, or {@code null}
 */
public record StockState(
    @Nullable String sha256, List<Problem> problems, @Nullable String trouble) {

  /** Copies the list. */
  public StockState {
    problems = List.copyOf(problems);
  }
}
