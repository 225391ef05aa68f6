package org.kerftally.daemon.intake;

import java.util.List;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.problem.Problem;

/** Holds what became of a job file: a job order, or everything that is wrong with it. */
public sealed interface JobReading {

  /** The file is a job order. */
  record Good(JobOrder order) implements JobReading {}

  /** The file is refused, with at least one problem. */
  record Bad(List<Problem> problems) implements JobReading {

    /** Copies the list. */
    public Bad {
      problems = List.copyOf(problems);
    }
  }
}
