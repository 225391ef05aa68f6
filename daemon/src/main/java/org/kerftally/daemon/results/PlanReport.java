package org.kerftally.daemon.results;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.problem.Problem;

/**
 * Says what became of one job file that was to be planned.
 *
 * @param job the job's name
 * @param file the job file, as its owner knows it
 * @param status how it went
 * @param plan the plan, or {@code null} when the file was refused
 * @param rules the saw's constants it was planned with
 * @param elapsedMillis how long planning took, or {@code null} when that is not known any more
 * @param problems what is wrong in the files, empty when nothing is
 */
public record PlanReport(
    String job,
    String file,
    Status status,
    @Nullable CutPlan plan,
    CutRules rules,
    @Nullable Long elapsedMillis,
    List<Problem> problems) {

  /** Copies the list. */
  public PlanReport {
    problems = List.copyOf(problems);
  }

  /** Says how planning went. */
  public enum Status {
    /** Every part is planned. */
    PLANNED,
    /** Some parts cannot be made from the stock there is. */
    SHORT,
    /** The job file is wrong; there is no plan. */
    REFUSED;

    /** Returns the word used in files. */
    public String word() {
      return switch (this) {
        case PLANNED -> "planned";
        case SHORT -> "short";
        case REFUSED -> "refused";
      };
    }
  }

  /** Reports a plan: short when the plan has shortages, else planned. */
  public static PlanReport of(
      String job, String file, CutPlan plan, CutRules rules, @Nullable Long elapsedMillis) {
    Status status = plan.shortages().isEmpty() ? Status.PLANNED : Status.SHORT;
    return new PlanReport(job, file, status, plan, rules, elapsedMillis, List.of());
  }

  /** Reports a file that was refused. */
  public static PlanReport refused(
      String job, String file, CutRules rules, List<Problem> problems) {
    return new PlanReport(job, file, Status.REFUSED, null, rules, null, problems);
  }
}
