package org.kerftally.daemon.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.JointJobs;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.daemon.planning.Planner;
import org.kerftally.daemon.planning.UnplannableException;
import org.kerftally.daemon.planning.sequence.StopRules;
import org.kerftally.daemon.results.JointReport;
import org.kerftally.daemon.results.PlanReport;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StockItem;

/**
 * Plans several job files as one. A file that is wrong is refused by itself and the others are
 * planned without it. Bare numbers in a stock file are in the unit of the jobs, so that all must be
 * written in one.
 */
final class JointPlanning {

  /**
   * Says what came of it.
   *
   * @param refused what is wrong with the files that were left out
   * @param joint the plan of the others, or {@code null} where none is left
   * @param unit the unit of the jobs
   */
  record Result(List<PlanReport> refused, @Nullable JointReport joint, LengthUnit unit) {}

  private final CutRules rules;
  private final StopRules stop;
  private final List<PlanReport> refused = new ArrayList<>();
  private final List<JobOrder> orders = new ArrayList<>();
  private final List<JointReport.Job> jobs = new ArrayList<>();
  private final Set<String> names = new HashSet<>();
  private List<StockItem> stock = List.of();

  private JointPlanning(CutRules rules, StopRules stop) {
    this.stop = stop;
    this.rules = rules;
  }

  /**
   * Plans some files together.
   *
   * @param stockFile the stock for all, or {@code null} for the files that go with each
   * @param stop what decides the order of work
   * @param limitNanos how long planning may take
   */
  static Result plan(
      List<Path> files, @Nullable Path stockFile, CutRules rules, StopRules stop, long limitNanos) {
    JointPlanning planning = new JointPlanning(rules, stop);
    Set<Path> stockFiles = new LinkedHashSet<>();
    for (Path file : files) {
      stockFiles.addAll(stockFile == null ? PlanInputs.stockFiles(file) : List.of(stockFile));
    }
    for (Path file : new LinkedHashSet<>(files)) {
      planning.read(file, List.copyOf(stockFiles));
    }
    return planning.plan(limitNanos);
  }

  private void read(Path file, List<Path> stockFiles) {
    PlanInputs.Inputs inputs = PlanInputs.read(file, stockFiles, rules);
    JobOrder order = inputs.order();
    if (order == null) {
      refuse(String.valueOf(file.getFileName()), file, inputs.problems());
    } else if (!orders.isEmpty() && orders.get(0).unit() != order.unit()) {
      String message =
          "the job is in "
              + order.unit().symbol()
              + " and the first one in "
              + orders.get(0).unit().symbol()
              + ", so that bare numbers in the stock would mean two things";
      String mend = "write all jobs that are planned together in one unit";
      refuse(order.name(), file, List.of(new Problem(file.toString(), 0, "units", message, mend)));
    } else {
      String name = order.name();
      if (!names.add(name)) {
        name = name + " (" + file + ")";
        names.add(name);
      }
      orders.add(order);
      jobs.add(new JointReport.Job(name, file.toString()));
      stock = inputs.stock();
    }
  }

  private void refuse(String name, Path file, List<Problem> problems) {
    refused.add(PlanReport.refused(name, file.toString(), rules, problems));
  }

  private Result plan(long limitNanos) {
    if (orders.isEmpty()) {
      return new Result(refused, null, LengthUnit.MM);
    }
    LengthUnit unit = orders.get(0).unit();
    String name = jobs.stream().map(JointReport.Job::name).collect(Collectors.joining(" + "));
    String file = jobs.stream().map(JointReport.Job::file).collect(Collectors.joining(", "));
    JointJobs joint = joint();
    long from = System.nanoTime();
    try {
      PlanRequest request = new PlanRequest(joint.parts(), stock, Map.of(), rules, stop);
      CutPlan plan = new Planner().plan(request, () -> System.nanoTime() - from > limitNanos);
      long millis = (System.nanoTime() - from) / 1_000_000;
      PlanReport report = PlanReport.of(name, file, plan, rules, millis);
      return new Result(refused, new JointReport(report, jobs, parts(joint)), unit);
    } catch (UnplannableException e) {
      List<Problem> problems = List.of(PlanInputs.unplannable(file, e));
      PlanReport report = PlanReport.refused(name, file, rules, problems);
      return new Result(refused, new JointReport(report, jobs, Map.of()), unit);
    }
  }

  private JointJobs joint() {
    List<JointJobs.Job> all = new ArrayList<>();
    for (int j = 0; j < orders.size(); j++) {
      JobOrder order = orders.get(j);
      all.add(new JointJobs.Job(jobs.get(j).name(), order.priority(), order.due(), order.parts()));
    }
    return new JointJobs(all);
  }

  private Map<String, JointReport.PartOf> parts(JointJobs joint) {
    Map<String, JointReport.PartOf> parts = new HashMap<>();
    for (Part part : joint.parts()) {
      JointJobs.Owner owner = joint.owner(part.name());
      parts.put(
          part.name(), new JointReport.PartOf(jobs.get(owner.job()).name(), owner.part().name()));
    }
    return parts;
  }
}
