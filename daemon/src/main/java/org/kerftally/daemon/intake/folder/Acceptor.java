package org.kerftally.daemon.intake.folder;

import java.util.List;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.problem.Problem;

/** Decides over a job order that is good in itself: plans it and writes it to the cut log. */
public interface Acceptor {

  /**
   * Offers a job order. When this answers {@link Answer.Taken}, the job must be in the cut log for
   * good, and {@link TakenJobs} must know it from then on. May take as long as planning takes.
   */
  Answer offer(JobOrder order);

  /** Says what becomes of an offered job. */
  sealed interface Answer {

    /** The job is in the cut log. */
    record Taken() implements Answer {}

    /** The job cannot be cut, with at least one problem. */
    record Refused(List<Problem> problems) implements Answer {

      /** Copies the list. */
      public Refused {
        problems = List.copyOf(problems);
      }
    }

    /** Nothing can be decided now; the file stays and is offered again. */
    record Later(String reason) implements Answer {}
  }
}
