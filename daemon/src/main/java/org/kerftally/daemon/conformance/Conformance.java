package org.kerftally.daemon.conformance;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;

/**
 * Takes a device through the device contract, step by step.
 *
 * <p>The order is part of it: what moves the stop comes first, with every permit and after one
 * confirmation; then what a person holds; last what breaks the connection or the power. From the
 * first state that a person held on, no target is sent that a device in order would take, and from
 * the first new connection on none at all.
 */
public final class Conformance {

  private final Session session;
  private final boolean pastTheEnd;

  /**
   * Prepares the steps. Somebody has confirmed that the stop may move.
   *
   * @param device the device as it was heard last
   * @param highest the highest number that was ever given, as far as is known
   * @param patience how long a person may take to do what is asked
   * @param pastTheEnd whether a target far outside the travel is sent too: a device that takes it
   *     runs against its mechanical end
   */
  public Conformance(
      Rig rig,
      StationConfig station,
      SpanPlan span,
      DeviceSnapshot device,
      long highest,
      Duration patience,
      boolean pastTheEnd) {
    this.pastTheEnd = pastTheEnd;
    session = new Session(rig, station, span, device, highest, patience);
  }

  /** Takes all steps; returns what came of each, in the order of {@link Step}. */
  public List<StepResult> run() throws InterruptedException {
    session.judge(
        Step.SIGNALS, session.rig.signalFaults(), "every signal that is mapped can be used");
    session.judge(Step.FIRST_STATE, firstState(session.device()), "whole");
    new MotionSteps(session).run();
    RefusalSteps refusals = new RefusalSteps(session);
    refusals.ofTargets(pastTheEnd);
    CountSteps counts = new CountSteps(session);
    counts.strokes();
    counts.buttons();
    refusals.ofPermits();
    new ReturnSteps(session).run();
    List<StepResult> results = new ArrayList<>();
    for (Step step : Step.values()) {
      results.add(
          session.results().stream()
              .filter(result -> result.step() == step)
              .findFirst()
              .orElseGet(() -> new StepResult(step, StepResult.Verdict.NOT_TESTED, "not come to")));
    }
    return List.copyOf(results);
  }

  private static List<String> firstState(DeviceSnapshot device) {
    List<String> wrong = new ArrayList<>();
    if (device.boot().isBlank()) {
      wrong.add("BootId is empty");
    }
    if (device.cutCount() < 0) {
      wrong.add("CutCount is " + device.cutCount());
    }
    LastCut cut = device.lastCut();
    if (cut != null && !device.isConsistent()) {
      wrong.add(
          "CutCount is " + device.cutCount() + " and the last cut of this boot is " + cut.count());
    }
    return wrong;
  }
}
