package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.conformance.TrialPlan;
import org.kerftally.daemon.cutlog.CutLogException;
import org.kerftally.daemon.cutlog.SiteHeldException;
import org.kerftally.daemon.cutlog.SiteLock;
import org.kerftally.daemon.cutlog.TargetNumbers;
import org.kerftally.protocol.Links;
import org.kerftally.shared.length.Length;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Moves one stop by a small step, once, with a person watching. */
@Command(
    name = "trial",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Moves a station's stop by a small step, once, and says what came of it. For the first motion",
      "of a device that was just wired. Shows the device, waits for a typed confirmation, sends one",
      "target, and tells a wrong unit, direction, answer or echo with the key to mend.",
      "The service has to be stopped. Nothing is written to the cut log."
    })
final class TrialCommand implements Callable<Integer> {

  @Spec private CommandSpec spec;

  @Mixin private final StationChoice choice = new StationChoice();

  @Option(
      names = "--by",
      paramLabel = "LENGTH",
      converter = SignedLengthOption.class,
      description =
          "How far, as a length at the blade, at most 10 mm; negative, as in '-2 mm', towards"
              + " smaller lengths. 2 mm unless given.")
  private Length by = TrialPlan.USUAL;

  private final CompletableFuture<Void> stop;
  private final TypedLines typed;

  /** Makes the command; it ends early when {@code stop} is completed. */
  TrialCommand(CompletableFuture<Void> stop, TypedLines typed) {
    this.stop = stop;
    this.typed = typed;
  }

  @Override
  public Integer call() {
    PrintWriter err = spec.commandLine().getErr();
    StationChoice.Chosen read = choice.read(spec.commandLine());
    if (read == null) {
      return ExitCodes.BAD_CONFIG;
    }
    SiteConfig site = read.site();
    StationConfig chosen = read.station();
    try (SiteLock lock = lock(site.folder())) {
      long logged = TargetNumbers.highest(site.folder().resolve(Site.LOG_FILE), chosen.name());
      return lead(site, chosen, logged);
    } catch (SiteHeldException e) {
      err.println(held(site.folder()));
      return ExitCodes.FOLDER_HELD;
    } catch (InterruptedException e) {
      err.println("Ended before the end. Nothing more is sent; a move that was sent goes on.");
      return ExitCodes.WRONG_INPUT;
    } catch (IOException | UncheckedIOException | CutLogException e) {
      err.println("Nothing was sent. " + e.getMessage());
      return ExitCodes.WRONG_INPUT;
    } finally {
      err.flush();
    }
  }

  private static SiteLock lock(Path folder) throws IOException, SiteHeldException {
    return SiteLock.acquire(Files.createDirectories(folder));
  }

  /** Says why nothing is done beside a service: two would send targets to the same stop. */
  static String held(Path folder) {
    String holder = SiteLock.holder(folder);
    return "Nothing was sent. Kerftally"
        + (holder == null || holder.isEmpty() ? "" : " (process " + holder + ")")
        + " holds "
        + folder
        + " and may send targets to this stop. Stop the service first; two at one stop are never"
        + " right.";
  }

  private int lead(SiteConfig site, StationConfig chosen, long logged) throws InterruptedException {
    typed.start();
    Clock clock = Clock.systemUTC();
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    try (StationLine line =
        new StationLine(() -> Links.open(chosen, site.folder(), clock), clock, out, stop)) {
      return new Trial(chosen, line, typed, stop, err).run(by, logged);
    }
  }
}
