package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.intake.StockFileReader;
import org.kerftally.daemon.intake.StockReading;
import org.kerftally.shared.problem.Problem;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Says whether a site would run, and with which settings. */
@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Checks a configuration and its folder, and prints every setting in force.",
      "With --connect, shows what every signal of every station says and how it is understood,",
      "how quickly the device answers, and which signals change while they are watched, and ends",
      "with a list of all that is to be mended. Nothing is moved, written or published."
    })
final class CheckCommand implements Callable<Integer> {

  private static final int MAX_WATCH_SECONDS = 600;

  private static final String WELL_SO_FAR =
      "Nothing to mend. Next: check -c FILE --connect, which reads every signal of the device.";

  private static final String ALL_WELL =
      "Nothing to mend. Next: signals -c FILE, while somebody at the machine presses and moves what"
          + " there is.";

  @Spec private CommandSpec spec;

  @Option(
      names = {"-c", "--config"},
      required = true,
      paramLabel = "FILE",
      description = "The site's configuration.")
  private Path config;

  @Option(names = "--connect", description = "Connect to every station and read its signals.")
  private boolean connect;

  @Option(
      names = "--watch",
      paramLabel = "SECONDS",
      defaultValue = "5",
      description =
          "With --connect: how long changes are looked for, 0 to 600 seconds; 5 unless given.")
  private int watchSeconds;

  @Override
  public Integer call() throws InterruptedException {
    if (watchSeconds < 0 || watchSeconds > MAX_WATCH_SECONDS) {
      throw new ParameterException(
          spec.commandLine(),
          "--watch is " + watchSeconds + "; expected 0 to " + MAX_WATCH_SECONDS + " seconds");
    }
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    ConfigResult read = ConfigReader.read(config);
    if (read instanceof ConfigResult.Bad bad) {
      bad.problems().stream().map(Problem::text).forEach(err::println);
      return ExitCodes.BAD_CONFIG;
    }
    ConfigResult.Good good = (ConfigResult.Good) read;
    out.println(good.effectiveYaml());
    List<String> faults = new ArrayList<>(folderFaults(good.config()));
    SecurityCheck security = SecurityCheck.of(good.config(), Clock.systemUTC());
    faults.addAll(security.faults());
    if (connect) {
      for (StationConfig station : good.config().stations()) {
        faults.addAll(
            ConnectCheck.read(
                station,
                good.config().folder(),
                Clock.systemUTC(),
                Duration.ofSeconds(watchSeconds),
                out));
      }
    }
    for (StationConfig station : good.config().stations()) {
      station
          .link()
          .wiring()
          .notes()
          .forEach(note -> out.println("Note: station " + station.name() + ": " + note));
    }
    security.notes().forEach(remark -> out.println("Note: " + remark));
    Cautions.TEXT.forEach(out::println);
    if (faults.isEmpty()) {
      out.println();
      out.println(connect ? ALL_WELL : WELL_SO_FAR);
    }
    out.flush();
    for (int i = 0; i < faults.size(); i++) {
      err.println((i + 1) + ". " + faults.get(i));
    }
    err.flush();
    return faults.isEmpty() ? ExitCodes.DONE : ExitCodes.WRONG_INPUT;
  }

  private static List<String> folderFaults(SiteConfig site) {
    List<String> faults = new ArrayList<>();
    Path folder = site.folder();
    if (!Files.exists(folder)) {
      Path parent = folder.getParent();
      if (parent == null || !Files.isWritable(parent)) {
        faults.add(folder + " does not exist and cannot be made. Make it, writable for this user.");
      }
      return faults;
    }
    if (!Files.isDirectory(folder) || !Files.isWritable(folder)) {
      faults.add(folder + " is no folder that this user may write in. Change its owner or rights.");
      return faults;
    }
    Path stock = folder.resolve("stock.csv");
    if (!Files.exists(stock)) {
      faults.add(
          stock
              + " is not there, so no job can be planned. Write it: material,length,qty,cost,"
              + "kind,label in the first line, then a line for each sort of stick.");
      return faults;
    }
    try {
      byte[] content = Files.readAllBytes(stock);
      if (StockFileReader.read(content, "stock.csv") instanceof StockReading.Bad bad) {
        bad.problems().stream().map(Problem::text).forEach(faults::add);
      }
    } catch (IOException e) {
      faults.add(stock + " cannot be read: " + e.getMessage());
    }
    return faults;
  }
}
