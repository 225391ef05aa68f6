package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.conformance.Figures;
import org.kerftally.daemon.conformance.MoveDiagnosis;
import org.kerftally.daemon.conformance.MoveFacts;
import org.kerftally.daemon.conformance.MoveTrial;
import org.kerftally.daemon.conformance.Permits;
import org.kerftally.daemon.conformance.SignalKeys;
import org.kerftally.daemon.conformance.TrialPlan;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;

/**
 * Leads a person through one move of one stop.
 *
 * <p>Nothing is sent before the person has typed the station's name and the target, and then only
 * if the device still stands as it was shown: same power-up, same place, every permit, the link
 * never lost. One target is sent, once.
 */
final class Trial {

  /** How long a person may take to look and type. */
  static final Duration TYPING = Duration.ofMinutes(2);

  static final Prompt NO_CUT =
      new Prompt(
          Prompt.Kind.CLEAR_MACHINE,
          "The stop is being tried. Keep clear, do not cut.",
          null,
          null,
          null);

  private final StationConfig station;
  private final StationLine line;
  private final TypedLines typed;
  private final CompletableFuture<Void> stop;
  private final SignalKeys keys;
  private final Contact contact;
  private final PrintWriter err;

  Trial(
      StationConfig station,
      StationLine line,
      TypedLines typed,
      CompletableFuture<Void> stop,
      PrintWriter err) {
    this.station = station;
    this.line = line;
    this.typed = typed;
    this.stop = stop;
    this.keys = new SignalKeys(station);
    this.err = err;
    this.contact = new Contact(station, line);
  }

  /** Returns the exit code. */
  int run(Length by, long highestLogged) throws InterruptedException {
    DeviceSnapshot shown = contact.first();
    if (shown == null) {
      return refuse(List.of(contact.silent()));
    }
    List<String> missing = Permits.missing(shown);
    if (!missing.isEmpty()) {
      return refuse(missing);
    }
    TrialPlan.Outcome outcome = TrialPlan.of(station, shown, by, highestLogged);
    TrialPlan plan = outcome.plan();
    if (plan == null) {
      return refuse(List.of(outcome.refusal() + "."));
    }
    tell(plan);
    String words = plan.words(station.name());
    line.say("To send this target once, type \"" + words + "\" and press Enter.");
    line.say("Anything else, or nothing within " + TYPING.toSeconds() + " s, sends nothing.");
    TypedLines.Typed answer = typed.ask(TYPING, stop);
    if (!words.equals(answer.line())) {
      return refuse(
          List.of(answer.line() == null ? answer.why() + "." : "that is not \"" + words + "\"."));
    }
    // What the service asked for last may still stand there: a cut, most likely.
    line.show(NO_CUT);
    try {
      return move(plan, shown);
    } finally {
      line.show(Prompt.NONE);
    }
  }

  private int move(TrialPlan plan, DeviceSnapshot shown) throws InterruptedException {
    List<String> changed = contact.changed(shown);
    if (!changed.isEmpty()) {
      return refuse(changed);
    }
    DeviceSnapshot now = contact.device(shown);
    line.say("Sending target " + plan.seq() + " …");
    return report(plan, MoveTrial.send(line, station, plan, now));
  }

  private void tell(TrialPlan plan) {
    line.say("");
    line.say("What will be sent, once:");
    line.say(
        "  the move       from "
            + Figures.mm(plan.from())
            + " to "
            + Figures.mm(plan.to())
            + " at the blade, "
            + Figures.signed(plan.to().minus(plan.from())));
    line.say(
        "  the target     number "
            + plan.seq()
            + ", position "
            + Figures.mm(plan.position())
            + ", sent as "
            + keys.sent(plan.position()));
    if (plan.beyond().isPositive()) {
      line.say(
          "  the approach   from "
              + station.quality().from().word()
              + ": where the stop comes from the other side, it goes up to "
              + Figures.mm(plan.beyond())
              + " beyond the target first, then back to it");
    }
    String mismatch = keys.mismatch();
    if (mismatch != null) {
      line.say("  !! " + mismatch);
    }
    line.say("  If a unit or direction is wrong the stop may go another way, or far.");
    Cautions.BEFORE_A_MOVE.forEach(line::say);
    line.say("");
  }

  private int refuse(List<String> why) {
    line.say("");
    err.println("Nothing was sent.");
    for (int i = 0; i < why.size(); i++) {
      err.println((i + 1) + ". Station " + station.name() + ": " + why.get(i));
    }
    err.flush();
    return ExitCodes.WRONG_INPUT;
  }

  private int report(TrialPlan plan, MoveFacts move) {
    line.say("  answer         " + answer(move));
    line.say("  number echoed  " + Figures.time(move.echoAfter()));
    line.say("  moving seen    " + Figures.time(move.startAfter()));
    line.say("  in position    " + Figures.time(move.reachedAfter()));
    Length reached = station.calibration().toLength(move.last().position());
    line.say("  wanted         " + Figures.mm(plan.to()) + " at the blade");
    line.say("  reached        " + Figures.mm(reached) + " at the blade");
    line.say(
        "  difference     "
            + Figures.signed(move.off())
            + ", the window is "
            + Figures.mm(move.window()));
    line.say("");
    List<String> wrong = MoveDiagnosis.of(move, keys);
    if (wrong.isEmpty()) {
      line.say(
          "As the device says it, the stop did what it was told. Now lay a rule to it: the length at");
      line.say(
          "the blade has to be "
              + Figures.mm(reached)
              + ", "
              + Figures.mm(plan.to().minus(plan.from()).abs())
              + (plan.to().isLessThan(plan.from()) ? " shorter" : " longer")
              + " than before. If it is not, look at");
      line.say("`unit`, `reversed` and `calibration`.");
      return ExitCodes.DONE;
    }
    for (int i = 0; i < wrong.size(); i++) {
      err.println((i + 1) + ". Station " + station.name() + ": " + wrong.get(i));
    }
    err.flush();
    return ExitCodes.WRONG_INPUT;
  }

  private static String answer(MoveFacts move) {
    if (move.accepted() == null) {
      return "none";
    }
    return (move.accepted() ? "taken, " : "refused, ") + Figures.time(move.answerAfter());
  }
}
