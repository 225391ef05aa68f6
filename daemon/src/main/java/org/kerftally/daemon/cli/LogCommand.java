package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.daemon.cutlog.CutLogException;
import org.kerftally.daemon.cutlog.LogCheck;
import org.kerftally.daemon.cutlog.LogRebuild;
import org.kerftally.daemon.cutlog.LogReport;
import org.kerftally.daemon.cutlog.SiteHeldException;
import org.kerftally.daemon.cutlog.SiteLock;
import org.kerftally.shared.problem.Problem;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Looks after the cut log: is it as it was written, and if not, what can be mended. */
@Command(
    name = "log",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = "Checks the cut log, or makes its tables anew from its events.")
final class LogCommand implements Runnable {

  @Spec private CommandSpec spec;

  @Override
  public void run() {
    throw new ParameterException(spec.commandLine(), "Say what to do: log check, or log rebuild");
  }

  /** Says which log is meant. */
  static final class Which {

    @Option(
        names = {"-c", "--config"},
        required = true,
        paramLabel = "FILE",
        description = "The site's configuration.")
    private @Nullable Path config;

    @Option(
        names = "--db",
        required = true,
        paramLabel = "FILE",
        description = "The cut log itself, such as a copy from a backup.")
    private @Nullable Path db;

    /** Returns the log, or {@code null} when the configuration is bad, which was then said. */
    @Nullable Path file(PrintWriter err) {
      if (db != null) {
        return db;
      }
      ConfigResult read = ConfigReader.read(Objects.requireNonNull(config));
      if (read instanceof ConfigResult.Bad bad) {
        bad.problems().stream().map(Problem::text).forEach(err::println);
        err.flush();
        return null;
      }
      return ((ConfigResult.Good) read).config().folder().resolve(Site.LOG_FILE);
    }
  }

  @Command(
      name = "check",
      mixinStandardHelpOptions = true,
      versionProvider = Version.class,
      description = {
        "Looks over pages, events, tables and the end of the cut log.",
        "Changes nothing; the service may run meanwhile."
      })
  int check(@ArgGroup(multiplicity = "1") Which which) {
    PrintWriter err = spec.commandLine().getErr();
    Path db = which.file(err);
    return db == null ? ExitCodes.BAD_CONFIG : check(db);
  }

  private int check(Path db) {
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    String holder = SiteLock.holder(folderOf(db));
    if (holder != null) {
      out.println(
          "A service holds the folder"
              + (holder.isEmpty() ? "" : " (process " + holder + ")")
              + "; this is the log as it stands at this moment.");
    }
    LogReport report = LogCheck.of(db);
    out.println(db + ": " + extent(report));
    report.remarks().forEach(remark -> out.println("Note: " + remark + "."));
    if (report.isSound()) {
      out.println(
          "Pages sound; ids without a gap; every event as it was written; tables and views");
      out.println(
          "as the events tell them" + (sealed(report) ? "; nothing missing at the end." : "."));
      out.flush();
      return ExitCodes.DONE;
    }
    out.flush();
    List<String> problems = report.problems();
    for (int i = 0; i < problems.size(); i++) {
      err.println((i + 1) + ". " + problems.get(i));
    }
    if (report.events() > 0 || report.rebuildHelps()) {
      err.println(wayOut(report));
    }
    err.flush();
    return ExitCodes.WRONG_INPUT;
  }

  private static boolean sealed(LogReport report) {
    return report.remarks().stream().noneMatch(remark -> remark.contains("missing end"));
  }

  private static String extent(LogReport report) {
    if (report.from() == null || report.to() == null) {
      return "no event";
    }
    return counted(report.events())
        + " from "
        + report.from().truncatedTo(ChronoUnit.SECONDS)
        + " to "
        + report.to().truncatedTo(ChronoUnit.SECONDS)
        + (report.stations().isEmpty() ? "" : ", of " + String.join(", ", report.stations()));
  }

  private static String counted(long events) {
    return events == 1 ? "1 event" : events + " events";
  }

  private static String wayOut(LogReport report) {
    return report.rebuildHelps()
        ? "Way out: the events are whole. Stop the service, run \"log rebuild\", start it again. What"
            + " is there now is kept beside it."
        : "Way out: events are damaged or missing, which cannot be made anew. Stop the service and"
            + " put back a backup, the .db with its -wal and -seal files. Without one, \"log rebuild"
            + " --accept-loss\" keeps the first "
            + counted(report.events())
            + "; what the device counted since is then booked as unattributed. What is there now is"
            + " kept beside it.";
  }

  @Command(
      name = "rebuild",
      mixinStandardHelpOptions = true,
      versionProvider = Version.class,
      description = {
        "Makes tables and views anew from the events, and keeps what was there",
        "beside it. The service must not run."
      })
  int rebuild(
      @ArgGroup(multiplicity = "1") Which which,
      @Option(
              names = "--accept-loss",
              description = "Give up events that are damaged, and all after them.")
          boolean acceptLoss) {
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    Path db = which.file(err);
    if (db == null) {
      return ExitCodes.BAD_CONFIG;
    }
    try (SiteLock held = SiteLock.acquire(folderOf(db))) {
      LogRebuild.Done done = LogRebuild.run(db, acceptLoss, Clock.systemUTC().instant());
      out.println("Made anew from " + counted(done.events()) + "; what was there: " + done.kept());
      out.flush();
    } catch (SiteHeldException e) {
      return said(err, e.getMessage(), ExitCodes.FOLDER_HELD);
    } catch (IOException | UncheckedIOException | CutLogException e) {
      return said(err, e.getMessage(), ExitCodes.WRONG_INPUT);
    }
    return check(db);
  }

  private static int said(PrintWriter err, @Nullable String text, int code) {
    err.println(text);
    err.flush();
    return code;
  }

  private static Path folderOf(Path db) {
    Path folder = db.toAbsolutePath().getParent();
    return folder == null ? db.toAbsolutePath() : folder;
  }
}
