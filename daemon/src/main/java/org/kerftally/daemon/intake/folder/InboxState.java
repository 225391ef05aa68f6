package org.kerftally.daemon.intake.folder;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.problem.Problem;

/**
 * Shows how the inbox stands, for the board and the log.
 *
 * @param trouble why the folders cannot be worked with, or {@code null} when they can
 * @param waiting files that are not taken yet, and why, the longest waiting first
 * @param refusals the latest refusals of this run, the newest first
 */
public record InboxState(@Nullable String trouble, List<Waiting> waiting, List<Refusal> refusals) {

  /** The most waiting files that are shown. */
  public static final int MAX_WAITING = 100;

  /** The most refusals that are shown. */
  public static final int MAX_REFUSALS = 50;

  /** The most problems that are shown of one refusal; its file in refused/ has them all. */
  public static final int MAX_PROBLEMS_SHOWN = 20;

  /** Nothing was looked at yet. */
  static final InboxState INITIAL = new InboxState(null, List.of(), List.of());

  /** Copies the lists. */
  public InboxState {
    waiting = List.copyOf(waiting);
    refusals = List.copyOf(refusals);
  }

  /** Tells whether the folders can be worked with. */
  public boolean isHealthy() {
    return trouble == null;
  }

  /**
   * Describes a file that is not taken yet.
   *
   * @param file its name
   * @param reason what it waits for
   */
  public record Waiting(String file, String reason) {}

  /**
   * Describes a file that was refused.
   *
   * @param file the name it was dropped under
   * @param refusedAs its name in refused/
   * @param at when
   * @param problems why, the first few
   * @param problemCount how many there are in all
   */
  public record Refusal(
      String file, String refusedAs, Instant at, List<Problem> problems, int problemCount) {

    /** Copies the list, cut to what is shown. */
    public Refusal {
      problems = List.copyOf(problems.subList(0, Math.min(problems.size(), MAX_PROBLEMS_SHOWN)));
    }
  }
}
