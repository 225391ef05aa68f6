package org.kerftally.config;

import java.time.Duration;

/**
 * Bounds the planner.
 *
 * @param timeLimit how long one job's plan may take before the best found so far is used
 */
public record PlanningConfig(Duration timeLimit) {

  /** Ten seconds. */
  public static final PlanningConfig DEFAULT = new PlanningConfig(Duration.ofSeconds(10));
}
