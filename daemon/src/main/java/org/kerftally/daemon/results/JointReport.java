package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.kerftally.daemon.results.PlanReport.Status;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;

/**
 * Says what became of several jobs that were planned together: they share sticks, so there is one
 * plan, in which a part has a key for a name.
 *
 * @param report what became of all of them; its plan names parts by key
 * @param jobs the jobs, each with another name
 * @param parts whose each part is, by key
 */
public record JointReport(PlanReport report, List<Job> jobs, Map<String, PartOf> parts) {

  /** Copies the collections. */
  public JointReport {
    jobs = List.copyOf(jobs);
    parts = Map.copyOf(parts);
  }

  /**
   * Names a job.
   *
   * @param name the name it is told from the others by
   * @param file its file, as its owner knows it
   */
  public record Job(String name, String file) {}

  /**
   * Says whose a part is.
   *
   * @param job the job's name
   * @param part the part's name in its job
   */
  public record PartOf(String job, String part) {}

  /** Returns the name of the job whose a part is. */
  String jobOf(String key) {
    return partOf(key).job();
  }

  /** Returns a part's name in its job. */
  String nameOf(String key) {
    return partOf(key).part();
  }

  private PartOf partOf(String key) {
    PartOf part = parts.get(key);
    if (part == null) {
      throw new IllegalStateException("no part of these jobs: " + key);
    }
    return part;
  }

  /** Returns how it went for one job. */
  Status status(Job job) {
    CutPlan plan = report.plan();
    if (plan == null) {
      return Status.REFUSED;
    }
    boolean lacks = plan.shortages().stream().anyMatch(s -> jobOf(s.part()).equals(job.name()));
    return lacks ? Status.SHORT : Status.PLANNED;
  }

  /** Returns the report for people, each part named together with its job. */
  public PlanReport named() {
    CutPlan plan = report.plan();
    if (plan == null) {
      return report;
    }
    List<PlannedSticks> sticks = new ArrayList<>();
    for (PlannedSticks some : plan.sticks()) {
      List<Cut> cuts = new ArrayList<>();
      some.cuts().forEach(cut -> cuts.add(new Cut(named(cut.part()), cut.length())));
      sticks.add(
          new PlannedSticks(
              some.material(),
              some.length(),
              some.kind(),
              some.label(),
              some.cost(),
              some.repeat(),
              some.leadTrim(),
              cuts,
              some.rest(),
              some.offcut()));
    }
    List<Shortage> shortages = new ArrayList<>();
    for (Shortage s : plan.shortages()) {
      shortages.add(new Shortage(named(s.part()), s.material(), s.length(), s.missing()));
    }
    BigDecimal cost = plan.cost();
    return new PlanReport(
        report.job(),
        report.file(),
        report.status(),
        new CutPlan(sticks, shortages, cost, plan.bound(), plan.proven()),
        report.rules(),
        report.elapsedMillis(),
        report.problems());
  }

  private String named(String key) {
    return nameOf(key) + " [" + jobOf(key) + "]";
  }
}
