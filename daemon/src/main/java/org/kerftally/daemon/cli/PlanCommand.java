package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.BetterStock;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.daemon.planning.Planner;
import org.kerftally.daemon.planning.UnplannableException;
import org.kerftally.daemon.planning.sequence.StopRules;
import org.kerftally.daemon.results.JointReport;
import org.kerftally.daemon.results.PlanJson;
import org.kerftally.daemon.results.PlanReport;
import org.kerftally.daemon.results.PlanTable;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.LengthAdvice;
import org.kerftally.shared.problem.Problem;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Plans job files without a machine. */
@Command(
    name = "plan",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = "Plans job files only: a table for people, or JSON lines for programs.")
final class PlanCommand implements Callable<Integer> {

  private static final int MAX_THREADS = 64;
  private static final double MAX_SECONDS = 86_400;

  /** Lengths of sticks are advised in steps that can be ordered. */
  private static final Length MM_STEP = Length.ofMm(5);

  private static final Length INCH_STEP = Length.ofNm(LengthUnit.IN.nm() / 4);

  private static final long ADVICE_NANOS = 500_000_000;

  @Spec private CommandSpec spec;

  @Parameters(arity = "1..*", paramLabel = "FILE", description = "Job files, CSV or JSON.")
  private List<Path> files = List.of();

  @Option(names = "--json", description = "One JSON object a line, a line a job file.")
  private boolean json;

  @Option(
      names = "--stock",
      paramLabel = "FILE",
      description =
          "The stock for all jobs. Default: NAME.stock.csv beside NAME.csv, else stock.csv.")
  private @Nullable Path stock;

  @Option(
      names = "--kerf",
      paramLabel = "LENGTH",
      defaultValue = "0",
      converter = LengthOption.class,
      description = "The width the blade removes, such as '3.2 mm' or '1/8 in'. Default: 0.")
  private Length kerf = Length.ZERO;

  @Option(
      names = "--trim",
      paramLabel = "LENGTH",
      defaultValue = "0",
      converter = LengthOption.class,
      description = "All that squaring a stick's end takes, its kerf included. Default: 0.")
  private Length trim = Length.ZERO;

  @Option(
      names = "--tail",
      paramLabel = "LENGTH",
      defaultValue = "0",
      converter = LengthOption.class,
      description = "What clamp or pusher must still hold after the last cut. Default: 0.")
  private Length tail = Length.ZERO;

  @Option(
      names = "--min-offcut",
      paramLabel = "LENGTH",
      defaultValue = "300 mm",
      converter = LengthOption.class,
      description = "The least remainder worth keeping. Default: ${DEFAULT-VALUE}.")
  private Length minOffcut = Length.ZERO;

  @Option(
      names = "--open-parts",
      paramLabel = "N",
      description =
          "How many parts may be begun and not yet finished at a time. Default: as few as can be.")
  private @Nullable Integer openParts;

  @Option(
      names = "--threads",
      paramLabel = "N",
      defaultValue = "1",
      description = "How many files are planned at a time. Default: ${DEFAULT-VALUE}.")
  private int threads;

  @Option(
      names = "--time-limit",
      paramLabel = "SECONDS",
      defaultValue = "10",
      description =
          "How long one job may take; then the best plan found. Default: ${DEFAULT-VALUE}.")
  private double seconds;

  @Option(
      names = "--together",
      description = {
        "Plan all files as one: jobs share sticks, and those of lower priority stay short first.",
        "Their stock is --stock, else the stock files of all of them, each counted once."
      })
  private boolean together;

  @Override
  public Integer call() throws InterruptedException {
    if (threads < 1 || threads > MAX_THREADS) {
      throw usage("--threads must be 1 to " + MAX_THREADS + ", not " + threads);
    }
    if (!(seconds > 0 && seconds <= MAX_SECONDS)) {
      throw usage("--time-limit must be above 0 and at most 86400 seconds, not " + seconds);
    }
    if (openParts != null && openParts < 1) {
      throw usage("--open-parts must be at least 1, not " + openParts);
    }
    CutRules rules = new CutRules(kerf, trim, tail, minOffcut, true);
    if (together) {
      return together(rules);
    }
    boolean good = true;
    ExecutorService pool = Executors.newFixedThreadPool(threads);
    try {
      List<Future<Outcome>> outcomes = new ArrayList<>();
      for (Path file : jobFiles()) {
        outcomes.add(pool.submit(() -> plan(file, rules)));
      }
      for (Future<Outcome> outcome : outcomes) {
        good &= print(outcome.get());
      }
    } catch (ExecutionException e) {
      throw new IllegalStateException("planning failed", e.getCause());
    } finally {
      pool.shutdownNow();
    }
    return good ? ExitCodes.DONE : ExitCodes.WRONG_INPUT;
  }

  private int together(CutRules rules) {
    long limitNanos = (long) (seconds * 1e9);
    JointPlanning.Result result = JointPlanning.plan(jobFiles(), stock, rules, stop(), limitNanos);
    boolean good = true;
    for (PlanReport refused : result.refused()) {
      good &= print(Outcome.without(refused, LengthUnit.MM));
    }
    JointReport joint = result.joint();
    if (joint != null && json) {
      spec.commandLine().getOut().println(PlanJson.line(joint));
      good &= complain(joint.named());
    } else if (joint != null) {
      good &= print(Outcome.without(joint.named(), result.unit()));
    }
    return good ? ExitCodes.DONE : ExitCodes.WRONG_INPUT;
  }

  /** No machine is known here, so its stop is a plain one. */
  private StopRules stop() {
    StopRules plain = StopRules.PLAIN;
    return new StopRules(plain.layout(), plain.nearest(), plain.motion(), openParts);
  }

  /** A pattern such as {@code *.csv} names the jobs' own stock files too: they are no jobs. */
  private List<Path> jobFiles() {
    List<Path> jobs = files.stream().filter(file -> !isStockOfAJob(file)).toList();
    if (jobs.isEmpty()) {
      throw usage("only stock files were named: name the job files, NAME.csv for NAME.stock.csv");
    }
    return jobs;
  }

  private static boolean isStockOfAJob(Path file) {
    return String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT).endsWith(".stock.csv");
  }

  private ParameterException usage(String message) {
    return new ParameterException(spec.commandLine(), message);
  }

  private record Outcome(PlanReport report, List<LengthAdvice> advice, LengthUnit unit) {

    static Outcome without(PlanReport report, LengthUnit unit) {
      return new Outcome(report, List.of(), unit);
    }
  }

  private Outcome plan(Path file, CutRules rules) {
    PlanInputs.Inputs inputs = PlanInputs.read(file, stock, rules);
    JobOrder order = inputs.order();
    if (order == null) {
      String name = String.valueOf(file.getFileName());
      return Outcome.without(
          PlanReport.refused(name, file.toString(), rules, inputs.problems()), LengthUnit.MM);
    }
    long from = System.nanoTime();
    long span = (long) (seconds * 1e9);
    PlanRequest request = new PlanRequest(order.parts(), inputs.stock(), Map.of(), rules, stop());
    CutPlan plan;
    try {
      plan = new Planner().plan(request, () -> System.nanoTime() - from > span);
    } catch (UnplannableException e) {
      Problem problem = PlanInputs.unplannable(file.toString(), e);
      return Outcome.without(
          PlanReport.refused(order.name(), file.toString(), rules, List.of(problem)), order.unit());
    }
    long millis = (System.nanoTime() - from) / 1_000_000;
    PlanReport report = PlanReport.of(order.name(), file.toString(), plan, rules, millis);
    return json
        ? Outcome.without(report, order.unit())
        : new Outcome(report, advice(request, plan, order.unit()), order.unit());
  }

  private static List<LengthAdvice> advice(PlanRequest request, CutPlan plan, LengthUnit unit) {
    long until = System.nanoTime() + ADVICE_NANOS;
    boolean inches = unit == LengthUnit.IN || unit == LengthUnit.FT;
    return BetterStock.advise(
        request, plan, inches ? INCH_STEP : MM_STEP, () -> System.nanoTime() - until > 0);
  }

  /** Prints one outcome; tells whether every part of it is planned. */
  private boolean print(Outcome outcome) {
    PrintWriter out = spec.commandLine().getOut();
    Terminal terminal = Terminal.ofStandardOutput();
    PlanReport report = outcome.report();
    if (json) {
      out.println(PlanJson.line(report));
    } else if (report.plan() != null) {
      out.println(
          PlanTable.write(
              report, outcome.advice(), outcome.unit(), terminal.width(), terminal.boxes()));
    }
    return complain(report);
  }

  /** Says what is wrong or short; tells whether every part is planned. */
  private boolean complain(PlanReport report) {
    PrintWriter err = spec.commandLine().getErr();
    spec.commandLine().getOut().flush();
    report.problems().stream().map(Problem::text).forEach(err::println);
    CutPlan plan = report.plan();
    if (plan != null) {
      plan.shortages()
          .forEach(
              s ->
                  err.println(
                      report.file()
                          + ": "
                          + s.missing()
                          + " of \""
                          + s.part()
                          + "\" cannot be made from this stock. Add sticks to the stock file."));
    }
    err.flush();
    return report.status() == PlanReport.Status.PLANNED;
  }
}
