package org.kerftally.daemon.cli;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.PrintWriter;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.Planner;
import org.kerftally.daemon.planning.bench.BenchCase;
import org.kerftally.daemon.planning.bench.BenchRow;
import org.kerftally.daemon.planning.bench.BenchRunner;
import org.kerftally.daemon.planning.bench.ClassTable;
import org.kerftally.daemon.planning.bench.GeneratedClass;
import org.kerftally.daemon.planning.packing.AuditedSolver;
import org.kerftally.daemon.planning.packing.ColumnSolver;
import org.kerftally.daemon.planning.packing.PackingSolver;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.problem.Problem;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Measures the planner on published instances and on such as it makes itself. */
@Command(
    name = "bench",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Measures the planner: one line an instance and a table a class, one thread.",
      "Reads published instances (.txt) and jobs (NAME.csv with NAME.stock.csv) in the folders."
    })
final class BenchCommand implements Callable<Integer> {

  private static final double MAX_SECONDS = 86_400;
  private static final int MAX_WARM_UP = 10_000;

  /** How long one instance of the warm-up may take. */
  private static final double WARM_UP_SECONDS = 2;

  @Spec private CommandSpec spec;

  @Parameters(arity = "0..*", paramLabel = "DIR", description = "Folders or files of instances.")
  private List<Path> places = List.of();

  @Option(
      names = "--optima",
      paramLabel = "FILE",
      description = "Known optima: name,class,lower,upper,optimum or name,optimum. Repeatable.")
  private List<Path> optima = List.of();

  @Option(
      names = "--generate",
      paramLabel = "CLASS:SEED:COUNT",
      description = "Makes instances; a wrong class lists all. Repeatable.")
  private List<String> generate = List.of();

  @Option(
      names = "--time-limit",
      paramLabel = "SECONDS",
      defaultValue = "10",
      description = "How long one instance may take. Default: ${DEFAULT-VALUE}.")
  private double seconds;

  @Option(
      names = "--class",
      paramLabel = "NAME",
      description = "Takes instances of this class only. Repeatable.")
  private List<String> groups = List.of();

  @Option(
      names = "--name",
      paramLabel = "TEXT",
      description = "Takes instances whose name holds this text only. Repeatable.")
  private List<String> names = List.of();

  @Option(
      names = "--sample",
      paramLabel = "N",
      description = "Takes N instances, drawn evenly from all by class and name.")
  private @Nullable Integer sample;

  @Option(
      names = "--per-class",
      paramLabel = "N",
      description = "Takes at most N instances of each class, drawn evenly by name.")
  private @Nullable Integer perClass;

  @Option(
      names = "--warm-up",
      paramLabel = "N",
      defaultValue = "20",
      description =
          "Solves N instances, drawn evenly, beforehand and uncounted. Default: ${DEFAULT-VALUE}.")
  private int warmUp;

  @Option(names = "--csv", paramLabel = "FILE", description = "Also writes every row there.")
  private @Nullable Path csv;

  @Option(
      names = "--cpu-time",
      description = "Counts the thread's own time, not the wall clock's: for busy machines.")
  private boolean cpuTime;

  @Option(
      names = "--assert",
      description = "Recomputes plans and bounds the slow way; a difference ends the run.")
  private boolean audited;

  @Option(
      names = "--kerf",
      paramLabel = "LENGTH",
      defaultValue = "3 mm",
      converter = LengthOption.class,
      description = "The kerf of jobs read from folders. Default: ${DEFAULT-VALUE}.")
  private Length kerf = Length.ZERO;

  @Override
  public Integer call() throws IOException {
    requireBounds();
    BenchFolders folders = new BenchFolders();
    optima.forEach(folders::readOptima);
    CutRules rules = new CutRules(kerf, Length.ZERO, Length.ZERO, Length.ofMm(300), true);
    places.forEach(place -> folders.read(place, rules));
    if (!folders.problems().isEmpty()) {
      PrintWriter err = spec.commandLine().getErr();
      folders.problems().stream().map(Problem::text).forEach(err::println);
      err.flush();
      return ExitCodes.WRONG_INPUT;
    }
    List<BenchCase> cases = new ArrayList<>(folders.cases());
    generate.forEach(text -> cases.addAll(generated(text)));
    List<BenchCase> chosen = chosen(cases);
    if (chosen.isEmpty()) {
      throw usage("no instances: name a folder that holds some, or use --generate");
    }
    return measure(chosen) == 0 ? ExitCodes.DONE : ExitCodes.WRONG_INPUT;
  }

  private void requireBounds() {
    if (!(seconds > 0 && seconds <= MAX_SECONDS)) {
      throw usage("--time-limit must be above 0 and at most 86400 seconds, not " + seconds);
    }
    if (warmUp < 0 || warmUp > MAX_WARM_UP) {
      throw usage("--warm-up must be 0 to " + MAX_WARM_UP + ", not " + warmUp);
    }
    if ((sample != null && sample < 1) || (perClass != null && perClass < 1)) {
      throw usage("--sample and --per-class must be at least 1");
    }
  }

  private ParameterException usage(String message) {
    return new ParameterException(spec.commandLine(), message);
  }

  private List<BenchCase> generated(String text) {
    String[] words = text.split(":", -1);
    GeneratedClass made = GeneratedClass.of(words[0]);
    if (made == null) {
      throw usage("\"" + text + "\" names no class; there are " + GeneratedClass.keys());
    }
    boolean numbers =
        words.length == 3 && words[1].matches("[0-9]{1,12}") && words[2].matches("[0-9]{1,6}");
    if (!numbers || Integer.parseInt(words[2]) > GeneratedClass.MOST) {
      throw usage(
          "\""
              + text
              + "\" is not CLASS:SEED:COUNT, such as "
              + made.key()
              + ":1:20, count at most "
              + GeneratedClass.MOST);
    }
    List<BenchCase> cases = new ArrayList<>();
    for (int n = 0; n < Integer.parseInt(words[2]); n++) {
      cases.add(made.make(Long.parseLong(words[1]), n));
    }
    return cases;
  }

  private List<BenchCase> chosen(List<BenchCase> cases) {
    List<BenchCase> chosen =
        new ArrayList<>(
            cases.stream()
                .filter(c -> groups.isEmpty() || groups.contains(c.group()))
                .filter(c -> names.isEmpty() || names.stream().anyMatch(c.name()::contains))
                .sorted(Comparator.comparing(BenchCase::group).thenComparing(BenchCase::name))
                .toList());
    if (perClass != null) {
      List<BenchCase> fewer = new ArrayList<>();
      for (String group : chosen.stream().map(BenchCase::group).distinct().toList()) {
        List<BenchCase> its = chosen.stream().filter(c -> c.group().equals(group)).toList();
        fewer.addAll(drawn(its, perClass));
      }
      chosen = fewer;
    }
    return sample == null ? chosen : drawn(chosen, sample);
  }

  /** Draws evenly, in order. */
  private static List<BenchCase> drawn(List<BenchCase> from, int number) {
    if (from.size() <= number) {
      return from;
    }
    List<BenchCase> drawn = new ArrayList<>();
    for (long n = 0; n < number; n++) {
      drawn.add(from.get((int) (n * from.size() / number)));
    }
    return drawn;
  }

  /** Runs all and prints; returns how many rows are wrong. */
  private long measure(List<BenchCase> cases) throws IOException {
    PackingSolver plain = new ColumnSolver();
    PackingSolver solver = audited ? new AuditedSolver(plain) : plain;
    PrintWriter out = spec.commandLine().getOut();
    BenchRunner warm = runner(solver, Math.min(seconds, WARM_UP_SECONDS));
    drawn(cases, warmUp).forEach(warm::run);
    BenchRunner runner = runner(solver, seconds);
    ClassTable table = new ClassTable();
    try (BufferedWriter rows = csv == null ? null : Files.newBufferedWriter(csv)) {
      write(rows, BenchRow.CSV_HEADER);
      for (BenchCase bench : cases) {
        BenchRow row = runner.run(bench);
        table.add(row);
        out.println(row.line());
        out.flush();
        write(rows, row.csv());
      }
    }
    out.println();
    out.print(table.text());
    out.flush();
    return table.wrong();
  }

  private BenchRunner runner(PackingSolver solver, double limit) {
    ThreadMXBean threads = ManagementFactory.getThreadMXBean();
    LongSupplier clock = cpuTime ? threads::getCurrentThreadCpuTime : System::nanoTime;
    return new BenchRunner(solver, new Planner(), clock, (long) (limit * 1e9));
  }

  private static void write(@Nullable BufferedWriter rows, String line) throws IOException {
    if (rows != null) {
      rows.write(line);
      rows.newLine();
      rows.flush();
    }
  }
}
