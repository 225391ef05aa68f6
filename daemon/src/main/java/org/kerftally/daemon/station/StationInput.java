package org.kerftally.daemon.station;

import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.plan.CutPlan;

/** Says what reached a station: the only things a decision can depend on besides the state. */
public sealed interface StationInput {

  /** The service begins to drive the station; the first input after a replay. */
  record Begin(String version) implements StationInput {}

  /** The service ends in good order; no target is sent after this. */
  record End(String reason) implements StationInput {}

  /** Something came in over the positioner link. */
  record FromLink(LinkEvent event) implements StationInput {}

  /** A job was assigned to this station. Offering one that is known already changes nothing. */
  record JobOffered(JobOrder order, CutPlan plan) implements StationInput {}

  /** A job is withdrawn by the office. Only a job that was not started is taken out. */
  record JobWithdrawn(String job, String reason) implements StationInput {}

  /**
   * The plan that was asked for is here.
   *
   * @param job the job it is for
   * @param number the number of the wish it answers; an answer to an older wish is dropped
   * @param plan the plan
   */
  record PlanReady(String job, int number, CutPlan plan) implements StationInput {}

  /** Time passed. Sent a few times a second. */
  record Tick() implements StationInput {}
}
