package org.kerftally.daemon.station;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.kerftally.daemon.station.StationState.OpenTarget;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Prompt.Kind;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthText;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.PlannedSticks;

/** Says in plain words what the station waits for. It commands nothing. */
final class Prompts {

  private Prompts() {}

  /** Returns the prompt that holds. */
  static Prompt held(Turn turn) {
    return turn.senses().prompt();
  }

  /** Works out the prompt and asks for it to be shown when it is a new one. */
  static void settle(Turn turn) {
    Prompt prompt = of(turn);
    boolean show = turn.state().linkUp() && !prompt.equals(turn.senses().shown());
    turn.sense(turn.senses().showing(show ? prompt : turn.senses().shown(), prompt));
    if (show) {
      turn.effect(new StationEffect.Show(prompt));
    }
  }

  private static Prompt of(Turn turn) {
    StationState state = turn.state();
    DeviceSnapshot snapshot = turn.snapshot();
    if (!state.driven()) {
      return Prompt.NONE;
    }
    if (!state.linkUp() || snapshot == null) {
      return plain(Kind.NONE, "No link to the positioner");
    }
    boolean work = state.run() != null || !state.queue().isEmpty() || !state.owed().isEmpty();
    String withheld = withheld(state, snapshot);
    if (!withheld.isEmpty() && (work || !state.faults().isEmpty())) {
      return plain(Kind.CLEAR_MACHINE, withheld);
    }
    if (!state.armed() && (work || state.alarm())) {
      return plain(
          Kind.ACKNOWLEDGE,
          ours(state)
              + "Look that the machine is clear, then press acknowledge; the stop may move after that");
    }
    if (state.paused() && work) {
      return plain(Kind.NONE, "Paused at the machine");
    }
    String moving = Moves.words(turn);
    if (moving != null) {
      return plain(Kind.NONE, moving);
    }
    return state.run() == null ? Prompt.NONE : work(turn, state.run());
  }

  private static Prompt work(Turn turn, JobRun run) {
    LengthUnit unit = run.order().unit();
    if (Progress.waitsForStick(turn)) {
      PlannedSticks next = run.ahead().get(0);
      String label = next.label() == null ? "" : ", label " + next.label();
      String text =
          "Load a stick of "
              + (next.material().isEmpty() ? "stock" : next.material())
              + ", "
              + LengthText.write(next.length(), unit)
              + label;
      return new Prompt(Kind.LOAD_STICK, text, next.material(), next.length(), next.label());
    }
    OpenTarget open = turn.state().target();
    if (open == null || !open.answered()) {
      return plain(Kind.NONE, run.replanWanted() ? "Working out a new plan for the rest" : "");
    }
    Length wanted = open.set().wanted();
    String material = Objects.requireNonNull(run.stick()).planned().material();
    if (open.set().part() == null) {
      return new Prompt(
          Kind.SQUARE_END,
          "Square the end: take off " + LengthText.write(wanted, unit),
          material,
          null,
          null);
    }
    return new Prompt(
        Kind.CUT,
        "Cut " + open.set().part() + ", " + LengthText.write(wanted, unit),
        material,
        null,
        null);
  }

  /** What only the machine can give back: standing faults, enable, remote. */
  private static String withheld(StationState state, DeviceSnapshot snapshot) {
    List<String> reasons = new ArrayList<>();
    state
        .faults()
        .forEach(
            (code, text) -> {
              if (!FaultWatch.OURS.contains(code)) {
                reasons.add(text);
              }
            });
    if (!snapshot.enabled()) {
      reasons.add("The drive is not enabled");
    }
    if (!snapshot.remoteAllowed()) {
      reasons.add("Remote is switched off at the machine");
    }
    return String.join(". ", reasons);
  }

  /** What Kerftally itself holds the station for until someone has looked. */
  private static String ours(StationState state) {
    StringBuilder text = new StringBuilder();
    state
        .faults()
        .forEach(
            (code, fault) -> {
              if (FaultWatch.OURS.contains(code)) {
                text.append(fault).append(' ');
              }
            });
    return text.toString();
  }

  private static Prompt plain(Kind kind, String text) {
    return new Prompt(kind, text, null, null, null);
  }
}
