package org.kerftally.sim.cli;

import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.slf4j.LoggerFactory;
import picocli.CommandLine;

/** Starts the simulated device from the command line. */
public final class Main {
  private static final String LOGBACK_FILE = "logback.configurationFile";

  /** How long the end may take after a signal, closing of server and files included. */
  private static final long END_TIMEOUT_SECONDS = 15;

  private Main() {}

  /** Runs the device until SIGTERM or SIGINT, then exits 0; else with the code of the contract. */
  public static void main(String[] arguments) {
    if (System.getProperty(LOGBACK_FILE) == null) {
      System.setProperty(LOGBACK_FILE, "org/kerftally/sim/cli/logback-sim.xml");
    }
    CompletableFuture<Void> stop = new CompletableFuture<>();
    CountDownLatch ended = new CountDownLatch(1);
    Thread hook = new Thread(() -> endOnSignal(stop, ended), "end-on-signal");
    Runtime.getRuntime().addShutdownHook(hook);
    int code = commandLine(stop).execute(arguments);
    ended.countDown();
    if (stop.isDone()) {
      // A signal: its hook ends the process.
      return;
    }
    try {
      Runtime.getRuntime().removeShutdownHook(hook);
    } catch (IllegalStateException e) {
      // The signal came at this very moment; its hook sees the end and ends the process.
      return;
    }
    System.exit(code);
  }

  /**
   * Ends the process with 0 once everything is closed. A signal alone would make the code 143,
   * which a supervisor takes for a failure.
   */
  private static void endOnSignal(CompletableFuture<Void> stop, CountDownLatch ended) {
    stop.complete(null);
    boolean inTime;
    try {
      inTime = ended.await(END_TIMEOUT_SECONDS, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      inTime = false;
    }
    Runtime.getRuntime().halt(inTime ? ExitCodes.DONE : ExitCodes.OWN_FAULT);
  }

  /** Returns the command line over a device that runs until {@code stop} is completed. */
  static CommandLine commandLine(CompletableFuture<Void> stop) {
    return new CommandLine(new DeviceCommand(stop))
        .setCaseInsensitiveEnumValuesAllowed(true)
        .setExecutionExceptionHandler(
            (exception, command, parsed) -> {
              LoggerFactory.getLogger(Main.class)
                  .error("a fault of the simulator's own", exception);
              return ExitCodes.OWN_FAULT;
            });
  }
}
