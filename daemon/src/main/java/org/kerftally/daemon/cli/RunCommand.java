package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SiteConfig;
import org.kerftally.daemon.board.BoardException;
import org.kerftally.daemon.cutlog.CutLogException;
import org.kerftally.daemon.cutlog.SiteHeldException;
import org.kerftally.shared.problem.Problem;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Runs the service until it is told to end. */
@Command(
    name = "run",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = "Runs the service: watches the folder, drives the stations, serves the board.")
final class RunCommand implements Callable<Integer> {

  private final CompletableFuture<Void> stop;

  @Spec private CommandSpec spec;

  @Option(
      names = {"-c", "--config"},
      required = true,
      paramLabel = "FILE",
      description = "The site's configuration.")
  private Path config;

  @Option(
      names = "--trace",
      paramLabel = "FOLDER",
      description = {
        "Records what passes between each station and its device, and what is decided, in files",
        "there; see the verb trace. Secrets are left out. 8 files of 32 MiB a station are kept."
      })
  private @Nullable Path trace;

  RunCommand(CompletableFuture<Void> stop) {
    this.stop = stop;
  }

  @Override
  public Integer call() {
    PrintWriter err = spec.commandLine().getErr();
    ConfigResult read = ConfigReader.read(config);
    if (read instanceof ConfigResult.Bad bad) {
      bad.problems().stream().map(Problem::text).forEach(err::println);
      return ExitCodes.BAD_CONFIG;
    }
    SiteConfig site = ((ConfigResult.Good) read).config();
    // Made here and not with the class: this command is made for other verbs too, and starting the
    // log takes about a third of a second.
    Logger log = LoggerFactory.getLogger(RunCommand.class);
    try (Site running = Site.open(site, Clock.systemUTC(), trace)) {
      spec.commandLine()
          .getOut()
          .println(("ready: " + site.folder() + " " + running.boardUrl()).strip());
      spec.commandLine().getOut().flush();
      CompletableFuture.anyOf(stop, running.failed()).join();
      if (running.failed().isDone()) {
        log.error("the service ends", running.failed().join());
        return ExitCodes.OWN_FAULT;
      }
      log.info("the service ends in good order");
      return ExitCodes.DONE;
    } catch (SiteHeldException e) {
      err.println(e.getMessage());
      return ExitCodes.FOLDER_HELD;
    } catch (IOException | UncheckedIOException | CutLogException | BoardException e) {
      err.println(e.getMessage());
      return ExitCodes.WRONG_INPUT;
    }
  }
}
