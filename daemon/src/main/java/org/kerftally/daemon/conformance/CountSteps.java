package org.kerftally.daemon.conformance;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OperatorConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

/** Steps in which a person cuts and presses. No stroke is ever started from here. */
final class CountSteps {

  /** How long a count is watched for a second step that should not come. */
  private static final Duration REST = Duration.ofSeconds(2);

  /** How long a saw cycle may take to come to its end. */
  private static final Duration CYCLE = Duration.ofSeconds(30);

  private static final String STROKE =
      "Make one stroke now, by the machine's own controls (the blade's drive may stay locked out"
          + " where the machine counts a stroke without it).";

  private final Session session;

  CountSteps(Session session) {
    this.session = session;
  }

  /** What was wrong with a stroke: with its count, and with what was remembered of it. */
  record Stroke(List<String> count, List<String> lastCut, String seen) {}

  void strokes() throws InterruptedException {
    Stroke first = stroke(null);
    if (first == null) {
      session.skip(Step.COUNT, session.unanswered());
      session.skip(Step.LAST_CUT, session.unanswered());
      session.skip(Step.MORE_STROKES, session.unanswered());
      return;
    }
    session.judge(Step.COUNT, first.count(), first.seen());
    if (!session.standsIn(Step.LAST_CUT, Signal.LAST_CUT_COUNT)) {
      session.judge(Step.LAST_CUT, first.lastCut(), first.seen());
    }
    moreStrokes();
  }

  private void moreStrokes() throws InterruptedException {
    List<String> wrong = new ArrayList<>();
    StringBuilder seen = new StringBuilder();
    for (int i = 0; i < 2; i++) {
      String why = session.whyNoMove();
      if (why != null) {
        session.skip(Step.MORE_STROKES, why);
        return;
      }
      MoveFacts move = session.move(session.other());
      if (!move.isGood()) {
        session.stop("a move did not go as it should");
        session.skip(Step.MORE_STROKES, "a move did not go as it should");
        return;
      }
      Stroke stroke = stroke(move.wanted());
      if (stroke == null) {
        session.skip(Step.MORE_STROKES, session.unanswered());
        return;
      }
      wrong.addAll(stroke.count());
      if (!session.station.link().wiring().lacks(Signal.LAST_CUT_COUNT)) {
        wrong.addAll(stroke.lastCut());
      }
      seen.append(i == 0 ? "" : "; ").append(stroke.seen());
    }
    session.judge(Step.MORE_STROKES, wrong, seen.toString());
  }

  /**
   * Asks for one stroke; {@code null} when it was not made.
   *
   * @param target where the stop was told to stand, {@code null} for where it stands
   */
  @Nullable Stroke stroke(@Nullable Length target) throws InterruptedException {
    DeviceSnapshot before = session.device();
    if (!session.ask(STROKE, Prompt.Kind.CUT, d -> d.cutCount() != before.cutCount())) {
      return null;
    }
    session.await(CYCLE, d -> d.sawState() == SawState.IDLE);
    Length strayed = session.strayed(REST);
    DeviceSnapshot after = session.device();
    List<String> count = new ArrayList<>();
    long more = after.cutCount() - before.cutCount();
    if (more != 1) {
      count.add("CutCount went from " + before.cutCount() + " to " + after.cutCount());
    }
    if (!after.boot().equals(before.boot())) {
      count.add("BootId changed with the stroke");
    }
    if (strayed.isMoreThan(session.station.window())) {
      count.add("THE STOP MOVED by " + Figures.mm(strayed) + " after the stroke");
      session.stop("the stop moved by itself");
    }
    Length place = target == null ? before.position() : target;
    List<String> last = lastCut(before, after, place);
    return new Stroke(
        count, last, "count " + before.cutCount() + " to " + after.cutCount() + said(after));
  }

  private static String said(DeviceSnapshot device) {
    LastCut cut = device.lastCut();
    return cut == null
        ? ""
        : ", last cut number " + cut.seq() + " at " + Figures.mm(cut.position());
  }

  private List<String> lastCut(DeviceSnapshot before, DeviceSnapshot after, Length place) {
    LastCut cut = after.lastCut();
    if (cut == null) {
      return List.of("no last cut is shown");
    }
    List<String> wrong = new ArrayList<>();
    if (!cut.boot().equals(after.boot())) {
      wrong.add("its boot is \"" + cut.boot() + "\", expected \"" + after.boot() + "\"");
    }
    if (cut.count() != after.cutCount()) {
      wrong.add("its count is " + cut.count() + ", CutCount is " + after.cutCount());
    }
    if (cut.seq() != before.activeSequence()) {
      wrong.add("its number is " + cut.seq() + ", the target held was " + before.activeSequence());
    }
    if (cut.position().minus(place).abs().isMoreThan(session.station.window())) {
      wrong.add(
          "its position is "
              + Figures.mm(cut.position())
              + ", the stop stood at "
              + Figures.mm(place));
    }
    return wrong;
  }

  /** The operator's buttons that the station goes by. */
  void buttons() throws InterruptedException {
    OperatorConfig operator = session.station.operator();
    if (operator.acknowledge() == OperatorConfig.Acknowledge.SIGNAL) {
      press(Step.ACKNOWLEDGE, "Press acknowledge once.", Prompt.Kind.ACKNOWLEDGE);
    } else {
      session.skip(Step.ACKNOWLEDGE, "the remote switch stands in for the button");
    }
    if (operator.stickLoaded() == OperatorConfig.StickLoaded.SIGNAL) {
      press(Step.STICK_LOADED, "Press stick loaded once.", Prompt.Kind.LOAD_STICK);
    } else {
      session.skip(Step.STICK_LOADED, "a stick that was asked for counts as loaded");
    }
  }

  private static long total(Step step, DeviceSnapshot device) {
    OperatorPanel panel = device.panel();
    return step == Step.ACKNOWLEDGE ? panel.acknowledged() : panel.stickLoaded();
  }

  private void press(Step step, String what, Prompt.Kind kind) throws InterruptedException {
    long before = total(step, session.device());
    if (!session.ask(what, kind, d -> total(step, d) != before)) {
      session.skip(step, session.unanswered());
      return;
    }
    session.strayed(REST);
    long after = total(step, session.device());
    String seen = "total " + before + " to " + after;
    String fault =
        seen
            + (after > before
                ? ": "
                    + (after - before)
                    + " presses; pressed once only, the button bounces or is counted twice"
                : ": a total never falls while the device is up");
    session.judge(step, after == before + 1 ? List.of() : List.of(fault), seen);
  }
}
