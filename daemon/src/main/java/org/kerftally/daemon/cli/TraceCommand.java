package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SiteConfig;
import org.kerftally.daemon.results.TerminalText;
import org.kerftally.daemon.service.StationSetup;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.daemon.trace.Replay;
import org.kerftally.daemon.trace.TraceLine;
import org.kerftally.daemon.trace.TraceReader;
import org.kerftally.daemon.trace.TraceReader.Reading;
import org.kerftally.shared.problem.Problem;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Shows what a station's trace holds, or runs it again. */
@Command(
    name = "trace",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Shows what `run --trace FOLDER` recorded of a station: what went over the wire, what the",
      "station was given and what it decided; one line each, in its order.",
      "With --replay the recorded inputs are decided on again, and compared with what was decided."
    })
final class TraceCommand implements Callable<Integer> {

  @Spec private CommandSpec spec;

  @Parameters(paramLabel = "FILE", description = "The trace.")
  private Path file = Path.of("");

  @Option(
      names = "--replay",
      description = "Decides again and compares; nothing is sent, no device is needed.")
  private boolean replay;

  @Option(
      names = "--configuration",
      description = "Prints the station's configuration as it was, without secrets.")
  private boolean configuration;

  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      description = "With --replay: decides by this configuration instead of the recorded one.")
  private @Nullable Path config;

  private @Nullable SiteConfig other;

  @Override
  public Integer call() {
    if (config != null && !replay) {
      throw new ParameterException(spec.commandLine(), "--config goes with --replay");
    }
    if (replay && configuration) {
      throw new ParameterException(
          spec.commandLine(), "--configuration and --replay do not go together");
    }
    PrintWriter err = spec.commandLine().getErr();
    if (config != null) {
      ConfigResult read = ConfigReader.read(config);
      if (read instanceof ConfigResult.Bad bad) {
        bad.problems().stream().map(Problem::text).forEach(err::println);
        err.flush();
        return ExitCodes.BAD_CONFIG;
      }
      other = ((ConfigResult.Good) read).config();
    }
    try (TraceReader reader = TraceReader.open(file)) {
      return replay ? replay(reader) : show(reader);
    } catch (IOException e) {
      err.println(file + " cannot be read: " + e.getMessage());
      return ExitCodes.WRONG_INPUT;
    } finally {
      spec.commandLine().getOut().flush();
      err.flush();
    }
  }

  private int show(TraceReader reader) throws IOException {
    PrintWriter out = spec.commandLine().getOut();
    TraceTable table = new TraceTable();
    boolean first = true;
    for (Reading next = reader.next(); ; next = reader.next()) {
      if (!(next instanceof Reading.Read read)) {
        return end(next);
      }
      if (configuration) {
        if (read.line() instanceof TraceLine.Header header) {
          header.configuration().lines().map(TerminalText::clean).forEach(out::println);
          return ExitCodes.DONE;
        }
      } else {
        table.rows(read.line()).forEach(out::println);
        if (first) {
          TraceTable.LEGEND.forEach(out::println);
        }
      }
      first = false;
    }
  }

  private int end(Reading last) {
    if (last instanceof Reading.Wrong wrong) {
      spec.commandLine().getErr().println(wrong.problem().text());
      return ExitCodes.WRONG_INPUT;
    }
    int cutShort = ((Reading.End) last).cutShort();
    if (cutShort > 0) {
      spec.commandLine()
          .getOut()
          .println(
              "Line "
                  + cutShort
                  + " has no end and was left out: the service was killed there,"
                  + " or is writing it.");
    }
    return ExitCodes.DONE;
  }

  private int replay(TraceReader reader) throws IOException {
    PrintWriter out = spec.commandLine().getOut();
    ReplayReport report = new ReplayReport();
    Replay replayed = new Replay(rules());
    long decisions = 0;
    for (Reading next = reader.next(); ; next = reader.next()) {
      if (!(next instanceof Reading.Read read)) {
        int code = end(next);
        out.println(decisions + (decisions == 1 ? " decision" : " decisions") + " as recorded.");
        return code;
      }
      if (read.line() instanceof TraceLine.Header || read.line() instanceof TraceLine.Lost) {
        new TraceTable().rows(read.line()).forEach(out::println);
      }
      Replay.Verdict verdict = replayed.take(read.line());
      if (verdict == null) {
        continue;
      }
      if (!verdict.agrees()) {
        report.differs(read.number(), verdict).forEach(out::println);
        out.println(decisions + " decisions before it as recorded; none after it was looked at.");
        spec.commandLine()
            .getErr()
            .println(
                file.getFileName()
                    + ", line "
                    + read.number()
                    + ": this version decides otherwise than was recorded"
                    + (other == null ? "." : ", by the configuration that was given."));
        return ExitCodes.WRONG_INPUT;
      }
      out.println(report.agreed(read.number(), verdict.recorded()));
      decisions++;
    }
  }

  private Function<StationRules, StationRules> rules() {
    SiteConfig site = other;
    if (site == null) {
      return recorded -> recorded;
    }
    return recorded ->
        site.stations().stream()
            .filter(station -> station.name().equals(recorded.name()))
            .findFirst()
            .map(station -> new StationSetup(site, station).rules())
            .orElseThrow(
                () ->
                    new ParameterException(
                        spec.commandLine(),
                        "--config has no station " + TerminalText.clean(recorded.name())));
  }
}
