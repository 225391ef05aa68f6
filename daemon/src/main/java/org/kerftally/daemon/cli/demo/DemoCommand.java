package org.kerftally.daemon.cli.demo;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cli.ExitCodes;
import org.kerftally.daemon.cli.Version;
import org.kerftally.daemon.cutlog.CutLogException;
import org.kerftally.daemon.cutlog.SiteHeldException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Shows the whole thing on one machine: service, simulated saw, sample jobs. */
@Command(
    name = "demo",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Runs the service with a simulated saw and three sample jobs in one process.",
      "No real machine is touched."
    })
public final class DemoCommand implements Callable<Integer> {

  /** A job list of a minute or two; a machine a hundred times slower is stuck, not slow. */
  private static final long ONCE_LIMIT_MINUTES = 30;

  private final CompletableFuture<Void> stop;

  @Spec private CommandSpec spec;

  @Option(
      names = "--link",
      paramLabel = "opcua|mqtt",
      defaultValue = "opcua",
      description = "How service and simulated device talk. Default: ${DEFAULT-VALUE}.")
  private DemoLink link = DemoLink.OPCUA;

  @Option(
      names = "--speed",
      paramLabel = "X",
      defaultValue = "20",
      description = "Simulated seconds in a real one. Default: ${DEFAULT-VALUE}.")
  private double speed;

  @Option(
      names = "--once",
      description = "End when all jobs are cut: 0 when the log agrees with the saw, else 1.")
  private boolean once;

  @Option(
      names = "--keep",
      paramLabel = "DIR",
      description = "Use this folder and keep it; else a temporary one that is removed.")
  private @Nullable Path keep;

  /** Creates the command; it runs until {@code stop} is completed. */
  public DemoCommand(CompletableFuture<Void> stop) {
    this.stop = stop;
  }

  @Override
  public Integer call() throws IOException, InterruptedException {
    if (!(speed > 0 && speed <= 1_000)) {
      throw new ParameterException(
          spec.commandLine(), "--speed must be above 0 and at most 1000, not " + speed);
    }
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    Path folder = keep == null ? Files.createTempDirectory("kerftally-demo") : keep;
    try (Demo demo = Demo.start(folder, link, speed, out)) {
      if (once) {
        return finish(demo, err);
      }
      out.println("Ends with Ctrl-C.");
      out.flush();
      CompletableFuture.anyOf(stop, demo.failed()).join();
      return demo.failed().isDone() ? ExitCodes.OWN_FAULT : ExitCodes.DONE;
    } catch (SiteHeldException e) {
      err.println(e.getMessage());
      return ExitCodes.FOLDER_HELD;
    } catch (CutLogException e) {
      err.println(e.getMessage());
      return ExitCodes.WRONG_INPUT;
    } finally {
      if (keep == null) {
        Demo.remove(folder);
      }
    }
  }

  private int finish(Demo demo, PrintWriter err) throws IOException, InterruptedException {
    CompletableFuture<Object> end = CompletableFuture.anyOf(demo.allEnded(), stop, demo.failed());
    try {
      end.get(ONCE_LIMIT_MINUTES, TimeUnit.MINUTES);
    } catch (TimeoutException e) {
      err.println("The jobs did not end within " + ONCE_LIMIT_MINUTES + " minutes.");
      return ExitCodes.WRONG_INPUT;
    } catch (ExecutionException e) {
      err.println("The demo failed: " + e.getCause());
      return ExitCodes.OWN_FAULT;
    }
    if (demo.failed().isDone()) {
      err.println("The demo failed: " + demo.failed().join());
      return ExitCodes.OWN_FAULT;
    }
    return demo.report() ? ExitCodes.DONE : ExitCodes.WRONG_INPUT;
  }
}
