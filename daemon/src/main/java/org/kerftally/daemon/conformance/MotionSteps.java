package org.kerftally.daemon.conformance;

import java.util.ArrayList;
import java.util.List;
import java.util.StringJoiner;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.length.Length;

/** Steps that move the stop: there and back again. */
final class MotionSteps {

  private static final List<Step> ALL =
      List.of(Step.ANSWER, Step.ECHO, Step.IN_POSITION, Step.NOT_EARLY, Step.IN_TRAVEL);

  private final Session session;

  MotionSteps(Session session) {
    this.session = session;
  }

  void run() throws InterruptedException {
    List<MoveFacts> moves = new ArrayList<>();
    for (int i = 0; i < 2; i++) {
      String why = session.whyNoMove();
      if (why == null) {
        MoveFacts facts = session.move(session.other());
        moves.add(facts);
        if (!facts.isGood()) {
          session.stop("a move did not go as it should");
        }
      } else if (i == 0) {
        ALL.forEach(step -> session.skip(step, why));
        return;
      }
    }
    answer(moves);
    if (moves.stream().noneMatch(MoveFacts::isTaken)) {
      ALL.forEach(step -> session.skip(step, "no target was taken"));
      return;
    }
    echo(moves);
    inPosition(moves);
    notEarly(moves);
    inTravel(moves);
  }

  private void answer(List<MoveFacts> moves) {
    List<String> wrong = new ArrayList<>();
    StringJoiner seen = new StringJoiner(" and ", "taken after ", "");
    for (MoveFacts move : moves) {
      seen.add(Figures.time(move.answerAfter()));
      if (Boolean.FALSE.equals(move.accepted())) {
        wrong.add("refused: " + move.reason());
      } else if (move.accepted() == null) {
        wrong.add(
            "no answer within " + Figures.time(session.station.targetValidity()) + " and a margin");
      }
    }
    session.judge(Step.ANSWER, wrong, seen.toString());
  }

  private void echo(List<MoveFacts> moves) {
    if (session.standsIn(Step.ECHO, Signal.ACTIVE_SEQUENCE)) {
      return;
    }
    List<String> wrong = new ArrayList<>();
    StringJoiner seen = new StringJoiner(" and ", "shown after ", "");
    for (MoveFacts move : moves) {
      seen.add(Figures.time(move.echoAfter()));
      if (move.isTaken() && move.last().activeSequence() != move.seq()) {
        wrong.add("target " + move.seq() + " was taken, shown is " + move.last().activeSequence());
      }
    }
    session.judge(Step.ECHO, wrong, seen.toString());
  }

  private void inPosition(List<MoveFacts> moves) {
    List<String> wrong = new ArrayList<>();
    StringJoiner seen = new StringJoiner(" and ", "off by ", "");
    boolean standsIn = session.station.link().wiring().lacks(Signal.TARGET_REACHED);
    for (MoveFacts move : moves) {
      seen.add(Figures.signed(move.off()));
      if (move.isTaken() && !move.isWithin()) {
        wrong.addAll(MoveDiagnosis.of(move, new SignalKeys(session.station)));
      } else if (move.isTaken() && !move.last().targetReached()) {
        wrong.add("the stop stands within its window, but TargetReached is off");
      }
    }
    session.judge(
        Step.IN_POSITION,
        wrong,
        seen
            + ", the window is "
            + Figures.mm(session.station.window())
            + (standsIn ? "; TargetReached is lacking, the position stands in" : ""));
  }

  private void notEarly(List<MoveFacts> moves) {
    if (session.standsIn(Step.NOT_EARLY, Signal.TARGET_REACHED)) {
      return;
    }
    List<String> wrong = new ArrayList<>();
    StringJoiner seen = new StringJoiner(" and ", "in position after ", "");
    for (MoveFacts move : moves) {
      seen.add(Figures.time(move.reachedAfter()));
      Length early = move.earlyAt();
      if (early != null) {
        wrong.add(
            "TargetReached was on at "
                + Figures.mm(early)
                + ", "
                + Figures.mm(early.minus(move.wanted()).abs())
                + " from the target");
      }
    }
    session.judge(Step.NOT_EARLY, wrong, seen.toString());
  }

  private void inTravel(List<MoveFacts> moves) {
    List<String> wrong = new ArrayList<>();
    for (MoveFacts move : moves) {
      Length farthest = session.station.calibration().toLength(move.farthest());
      Length last = session.station.calibration().toLength(move.last().position());
      for (Length at : List.of(farthest, last)) {
        if (!session.station.travel().reaches(at)) {
          wrong.add("the stop stood at " + Figures.mm(at) + " at the blade");
        }
      }
    }
    Length now = session.station.calibration().toLength(session.device().position());
    session.judge(
        Step.IN_TRAVEL, wrong.stream().distinct().toList(), Figures.mm(now) + " at the blade");
  }
}
