package org.kerftally.daemon.calibration;

import org.apache.commons.statistics.distribution.TDistribution;

/** Gives the critical values of Student's t distribution. */
final class StudentT {

  /** How often a test may cry wolf, and an interval may miss: 5 %, as is common practice. */
  static final double ALPHA = 0.05;

  private StudentT() {}

  /** Returns the t that chance exceeds, either way, with the given probability. */
  static double twoSided(double probability, int degreesOfFreedom) {
    return TDistribution.of(degreesOfFreedom).inverseSurvivalProbability(probability / 2);
  }
}
