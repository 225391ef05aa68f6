package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.time.Clock;
import java.time.Duration;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.protocol.Probes;
import org.kerftally.protocol.probe.ProbeException;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.shared.geometry.Calibration;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Shows one station's signals as they change. */
@Command(
    name = "signals",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Shows every signal of a station as it changes: name, where it is, value, last change.",
      "Press a button at the machine and see which signal moves. Reads only; nothing is moved.",
      "A position is shown as the device has it and, by `calibration`, as a length at the blade.",
      "On a terminal the table is redrawn in place; elsewhere each change is a line.",
      "Ends after the time given, or on Ctrl-C."
    })
final class SignalsCommand implements Callable<Integer> {

  private static final int MAX_SECONDS = 3_600;
  private static final Duration STEP = Duration.ofMillis(250);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH:mm:ss.S", Locale.ROOT);

  @Spec private CommandSpec spec;

  @Mixin private final StationChoice choice = new StationChoice();

  @Option(
      names = "--seconds",
      paramLabel = "N",
      defaultValue = "60",
      description = "How long, 1 to 3600 seconds; 60 unless given.")
  private int seconds;

  private final CompletableFuture<Void> stop;
  private final boolean inPlace;

  /** Makes the command; it ends early when {@code stop} is completed. */
  SignalsCommand(CompletableFuture<Void> stop) {
    this(stop, isTerminal());
  }

  // The project runs on Java 17, where there is a console only on a terminal.
  @SuppressWarnings("SystemConsoleNull")
  private static boolean isTerminal() {
    return System.console() != null;
  }

  SignalsCommand(CompletableFuture<Void> stop, boolean inPlace) {
    this.stop = stop;
    this.inPlace = inPlace;
  }

  @Override
  public Integer call() throws InterruptedException {
    if (seconds < 1 || seconds > MAX_SECONDS) {
      throw new ParameterException(
          spec.commandLine(), "--seconds is " + seconds + "; expected 1 to " + MAX_SECONDS);
    }
    PrintWriter err = spec.commandLine().getErr();
    StationChoice.Chosen read = choice.read(spec.commandLine());
    if (read == null) {
      return ExitCodes.BAD_CONFIG;
    }
    SiteConfig site = read.site();
    StationConfig chosen = read.station();
    try (SignalProbe probe = Probes.open(chosen, site.folder(), Clock.systemUTC())) {
      show(probe, chosen.calibration());
      return ExitCodes.DONE;
    } catch (ProbeException e) {
      err.println("1. Station " + chosen.name() + ": " + e.reason());
      return ExitCodes.WRONG_INPUT;
    } finally {
      err.flush();
    }
  }

  private void show(SignalProbe probe, Calibration calibration)
      throws ProbeException, InterruptedException {
    PrintWriter out = spec.commandLine().getOut();
    Clock clock = Clock.system(ZoneId.systemDefault());
    long until = System.nanoTime() + Duration.ofSeconds(seconds).toNanos();
    Watched watched = new Watched();
    List<SignalReading> first = AtTheBlade.beside(probe.read(), calibration);
    probe.watch();
    watched.see(first);
    int drawn = draw(out, SignalTable.live(first, watched.changes(), clock.instant()), 0);
    while (!stop.isDone() && System.nanoTime() - until < 0) {
      probe.await(STEP);
      List<SignalReading> now = AtTheBlade.beside(probe.read(), calibration);
      List<Watched.Change> changes = watched.see(now);
      if (inPlace) {
        drawn = draw(out, SignalTable.live(now, watched.changes(), clock.instant()), drawn);
      } else {
        String time = TIME.format(LocalTime.now(clock));
        changes.forEach(change -> out.println("  " + time + "  " + change.text()));
        out.flush();
      }
    }
  }

  /** Draws over what was drawn before (ECMA-48: cursor up, erase to the end); returns the lines. */
  private int draw(PrintWriter out, List<String> lines, int over) {
    if (over > 0) {
      out.print("\u001b[" + over + "A\u001b[J");
    }
    int width = inPlace ? Terminal.ofStandardOutput().width() : Integer.MAX_VALUE;
    lines.forEach(line -> out.println(line.substring(0, Math.min(line.length(), width))));
    out.flush();
    return lines.size();
  }
}
