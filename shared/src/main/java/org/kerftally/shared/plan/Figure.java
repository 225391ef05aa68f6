package org.kerftally.shared.plan;

/**
 * States a number a plan keeps small, and how small it is known to be able to get.
 *
 * @param value the plan's number
 * @param bound a safe lower bound on it, given all that comes before it in the order of objectives
 */
public record Figure(int value, int bound) {

  /** Tells whether no plan does better. */
  public boolean proven() {
    return value == bound;
  }
}
