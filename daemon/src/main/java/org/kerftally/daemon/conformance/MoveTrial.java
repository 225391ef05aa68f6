package org.kerftally.daemon.conformance;

import org.kerftally.config.StationConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Target;

/** Sends the one target of a trial move and watches it. */
public final class MoveTrial {

  private static final String JOB = "trial-move";

  private MoveTrial() {}

  /** Sends, once, and returns what was seen. */
  public static MoveFacts send(
      Bench bench, StationConfig station, TrialPlan plan, DeviceSnapshot before)
      throws InterruptedException {
    Target target =
        new Target(
            plan.seq(),
            plan.position(),
            null,
            JOB,
            bench.wall().plus(station.targetValidity()),
            station.targetValidity(),
            before.boot());
    return MoveWatch.send(bench, target, station.window(), plan.most(), before);
  }
}
