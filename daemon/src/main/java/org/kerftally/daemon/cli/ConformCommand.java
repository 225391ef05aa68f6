package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.conformance.Conformance;
import org.kerftally.daemon.conformance.Figures;
import org.kerftally.daemon.conformance.Permits;
import org.kerftally.daemon.conformance.SpanPlan;
import org.kerftally.daemon.conformance.StepResult;
import org.kerftally.daemon.cutlog.CutLogException;
import org.kerftally.daemon.cutlog.SiteHeldException;
import org.kerftally.daemon.cutlog.SiteLock;
import org.kerftally.daemon.cutlog.TargetNumbers;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Takes one device through the device contract. */
@Command(
    name = "conform",
    mixinStandardHelpOptions = true,
    versionProvider = Version.class,
    description = {
      "Takes a station's device through the device contract (protocol/DEVICE.md), step by step, and",
      "prints which rules it keeps. For whoever builds or wires a device. Moves the stop a little",
      "after a typed confirmation, asks for strokes, presses and a power-up, and sends what a device",
      "has to refuse. The service has to be stopped. Nothing is written to the cut log.",
      "Exit code 0 when no step failed, 1 when one did."
    })
final class ConformCommand implements Callable<Integer> {

  private static final int MAX_WAIT_SECONDS = 600;
  private static final int USUAL_WAIT_SECONDS = 120;
  private static final int UNATTENDED_WAIT_SECONDS = 10;

  @Spec private CommandSpec spec;

  @Mixin private final StationChoice choice = new StationChoice();

  @Option(
      names = "--span",
      paramLabel = "LENGTH",
      converter = LengthOption.class,
      description = "Within what length around its place the stop moves; 50 mm unless given.")
  private Length span = SpanPlan.USUAL;

  @Option(
      names = "--unattended",
      description =
          "Nobody is there to do what a step asks for: wait 10 s in case the device does it by"
              + " itself, as a simulator may. The confirmation is asked for all the same.")
  private boolean unattended;

  @Option(
      names = "--wait",
      paramLabel = "SECONDS",
      description = "How long to wait for what a step asks for, 1 to 600; 120 unless given.")
  private @Nullable Integer wait;

  @Option(
      names = "--past-the-end",
      description =
          "Also send a target 50 m outside the travel. A device that takes it runs against its"
              + " mechanical end: only where that does no harm.")
  private boolean pastTheEnd;

  @Option(names = "--json", description = "Print the table as one JSON object.")
  private boolean json;

  private final CompletableFuture<Void> stop;
  private final TypedLines typed;

  /** Makes the command; it ends early when {@code stop} is completed. */
  ConformCommand(CompletableFuture<Void> stop, TypedLines typed) {
    this.stop = stop;
    this.typed = typed;
  }

  @Override
  public Integer call() {
    Duration patience = patience();
    PrintWriter err = spec.commandLine().getErr();
    StationChoice.Chosen read = choice.read(spec.commandLine());
    if (read == null) {
      return ExitCodes.BAD_CONFIG;
    }
    SiteConfig site = read.site();
    StationConfig chosen = read.station();
    try (SiteLock lock = SiteLock.acquire(Files.createDirectories(site.folder()))) {
      long logged = TargetNumbers.highest(site.folder().resolve(Site.LOG_FILE), chosen.name());
      // A station that comes from one side gives the device two numbers for each of its own.
      return lead(site, chosen, chosen.quality().hasSide() ? 2 * logged : logged, patience);
    } catch (SiteHeldException e) {
      err.println(TrialCommand.held(site.folder()));
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

  private Duration patience() {
    Integer given = wait;
    if (given != null && (given < 1 || given > MAX_WAIT_SECONDS)) {
      throw new ParameterException(
          spec.commandLine(), "--wait is " + given + "; expected 1 to " + MAX_WAIT_SECONDS);
    }
    int usual = unattended ? UNATTENDED_WAIT_SECONDS : USUAL_WAIT_SECONDS;
    return Duration.ofSeconds(given == null ? usual : given);
  }

  private int lead(SiteConfig site, StationConfig chosen, long highest, Duration patience)
      throws InterruptedException {
    typed.start();
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    // Where a program reads the table, people read the other stream.
    try (ConformLine line = ConformLine.open(chosen, site.folder(), json ? err : out, stop)) {
      Contact contact = new Contact(chosen, line);
      DeviceSnapshot shown = contact.first();
      if (shown == null) {
        return refuse(List.of(contact.silent()));
      }
      List<String> missing = Permits.missing(shown);
      if (!missing.isEmpty()) {
        return refuse(missing);
      }
      SpanPlan.Outcome outcome = SpanPlan.of(chosen, shown, span);
      SpanPlan plan = outcome.plan();
      if (plan == null) {
        return refuse(List.of(outcome.refusal() + "."));
      }
      List<String> against = confirm(chosen, line, plan);
      if (!against.isEmpty()) {
        return refuse(against);
      }
      line.show(Trial.NO_CUT);
      List<String> changed = contact.changed(shown);
      line.show(Prompt.NONE);
      if (!changed.isEmpty()) {
        return refuse(changed);
      }
      DeviceSnapshot now = contact.device(shown);
      List<StepResult> results =
          new Conformance(line, chosen, plan, now, highest, patience, pastTheEnd).run();
      line.say("");
      if (json) {
        out.println(ConformTable.json(chosen.name(), results));
      } else {
        ConformTable.lines(results).forEach(out::println);
      }
      out.flush();
      boolean failed = results.stream().anyMatch(r -> r.verdict() == StepResult.Verdict.FAIL);
      return failed ? ExitCodes.WRONG_INPUT : ExitCodes.DONE;
    }
  }

  private List<String> confirm(StationConfig chosen, ConformLine line, SpanPlan plan)
      throws InterruptedException {
    line.say("");
    line.say("What will happen:");
    line.say(
        "  - the stop moves several times between "
            + Figures.mm(plan.low())
            + " and "
            + Figures.mm(plan.high())
            + " at the blade, each time only with every permit;");
    line.say(
        "  - targets are sent that a device has to refuse: old numbers, expired ones, and some while");
    line.say("    the saw is busy, remote is off or the emergency stop is pressed.");
    line.say(
        "    A device that takes one MOVES: that is what is tested. Keep the hand at the stop;");
    if (pastTheEnd) {
      line.say(
          "  - A TARGET 50 m OUTSIDE THE TRAVEL is sent. A device that takes it runs against its");
      line.say("    mechanical end at full speed;");
    }
    line.say("  - you are asked for strokes, presses, held states and a power-up.");
    line.say(
        "  No stroke is started from here. After the connection or the power was away, nothing");
    line.say("  is sent any more.");
    Cautions.BEFORE_A_MOVE.forEach(line::say);
    line.say("");
    String words = plan.words(chosen.name());
    line.say("To begin, type \"" + words + "\" and press Enter.");
    line.say("Anything else, or nothing within " + Trial.TYPING.toSeconds() + " s, sends nothing.");
    TypedLines.Typed answer = typed.ask(Trial.TYPING, stop);
    if (words.equals(answer.line())) {
      return List.of();
    }
    return List.of(answer.line() == null ? answer.why() + "." : "that is not \"" + words + "\".");
  }

  private int refuse(List<String> why) {
    PrintWriter err = spec.commandLine().getErr();
    err.println();
    err.println("Nothing was sent.");
    for (int i = 0; i < why.size(); i++) {
      err.println((i + 1) + ". " + why.get(i));
    }
    err.flush();
    return ExitCodes.WRONG_INPUT;
  }
}
