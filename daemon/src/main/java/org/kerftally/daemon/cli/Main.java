package org.kerftally.daemon.cli;

import java.util.Arrays;
import java.util.Locale;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.kerftally.daemon.cli.demo.DemoCommand;
import org.slf4j.LoggerFactory;
import picocli.CommandLine;
import picocli.CommandLine.Command;

/** Starts Kerftally from the command line. */
public final class Main {

  private static final String PLAN = "plan";

  private static final String LOGBACK_FILE = "logback.configurationFile";

  /** How long the end may take after a signal: owners, intake and links are each bounded below. */
  private static final long END_TIMEOUT_SECONDS = 60;

  private Main() {}

  /** The program itself; each verb is a command of its own. */
  @Command(
      name = "kerftally",
      mixinStandardHelpOptions = true,
      versionProvider = Version.class,
      description = {
        "Plans crosscut jobs, drives a saw's stop positioner, and keeps an exact cut log.",
        "Kerftally is no safety function: follow the machine's manual and local rules."
      },
      footer = {
        "",
        "Exit codes: 0 done; 1 something in what was given is wrong or short; 2 wrong usage;",
        "70 a fault of Kerftally's own; 75 another instance holds the folder; 78 bad configuration."
      },
      subcommands = {
        RunCommand.class,
        DemoCommand.class,
        PlanCommand.class,
        CheckCommand.class,
        SignalsCommand.class,
        TrialCommand.class,
        ConformCommand.class,
        CalibrateCommand.class,
        CertificatesCommand.class,
        LogCommand.class,
        TraceCommand.class,
        BenchCommand.class
      })
  static final class Kerftally implements Runnable {

    @CommandLine.Spec private CommandLine.Model.CommandSpec spec;

    @Override
    public void run() {
      throw new CommandLine.ParameterException(
          spec.commandLine(), "Say what to do: one of " + spec.subcommands().keySet());
    }
  }

  /** Runs a command and exits with its code; a signal lets a running service end in good order. */
  public static void main(String[] arguments) {
    Locale.setDefault(Locale.ROOT);
    if (System.getProperty(LOGBACK_FILE) == null) {
      System.setProperty(LOGBACK_FILE, "org/kerftally/daemon/cli/logback-kerftally.xml");
    }
    CompletableFuture<Void> stop = new CompletableFuture<>();
    CountDownLatch ended = new CountDownLatch(1);
    AtomicInteger result = new AtomicInteger(ExitCodes.DONE);
    Thread hook = new Thread(() -> endOnSignal(stop, ended, result), "end-on-signal");
    Runtime.getRuntime().addShutdownHook(hook);
    int code = execute(arguments, stop);
    result.set(code);
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
   * Ends the process with the verb's own code once everything is closed. A signal alone would make
   * it 143, which a supervisor takes for a failure.
   */
  private static void endOnSignal(
      CompletableFuture<Void> stop, CountDownLatch ended, AtomicInteger result) {
    stop.complete(null);
    boolean inTime;
    try {
      inTime = ended.await(END_TIMEOUT_SECONDS, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      inTime = false;
    }
    Runtime.getRuntime().halt(inTime ? result.get() : ExitCodes.OWN_FAULT);
  }

  /**
   * Runs the verb asked for. {@code plan} is made without the commands of the other verbs, which
   * saves a tenth of a second from the shell.
   */
  private static int execute(String[] arguments, CompletableFuture<Void> stop) {
    if (arguments.length > 0 && arguments[0].equals(PLAN)) {
      CommandLine plan = withSettings(new CommandLine(new PlanCommand()));
      plan.setCommandName("kerftally " + PLAN);
      return plan.execute(Arrays.copyOfRange(arguments, 1, arguments.length));
    }
    return commandLine(stop).execute(arguments);
  }

  /** Returns the command line; a service started by it runs until {@code stop} is completed. */
  static CommandLine commandLine(CompletableFuture<Void> stop) {
    CommandLine.IFactory plain = CommandLine.defaultFactory();
    CommandLine.IFactory factory =
        new CommandLine.IFactory() {
          @Override
          public <K> K create(Class<K> type) throws Exception {
            if (type == RunCommand.class) {
              return type.cast(new RunCommand(stop));
            }
            if (type == SignalsCommand.class) {
              return type.cast(new SignalsCommand(stop));
            }
            if (type == ConformCommand.class) {
              return type.cast(new ConformCommand(stop, new TypedLines(System.in)));
            }
            if (type == TrialCommand.class) {
              return type.cast(new TrialCommand(stop, new TypedLines(System.in)));
            }
            return type == DemoCommand.class
                ? type.cast(new DemoCommand(stop))
                : plain.create(type);
          }
        };
    return withSettings(new CommandLine(new Kerftally(), factory));
  }

  private static CommandLine withSettings(CommandLine line) {
    return line.setCaseInsensitiveEnumValuesAllowed(true)
        .setExecutionExceptionHandler(
            (exception, command, parsed) -> {
              LoggerFactory.getLogger(Main.class).error("a fault of Kerftally's own", exception);
              return ExitCodes.OWN_FAULT;
            });
  }
}
