package org.kerftally.daemon.planning.packing;

/**
 * Betters what comes after cost: sticks handled, distinct patterns, offcuts used up, one long
 * leftover. It never costs more than what it was given.
 */
public final class Polishing {

  private static final int ROUNDS_A_PATTERN = 25;
  private static final long UNITS = 150_000_000;

  private Polishing() {}

  /** Returns a packing of the instance that is as good as the one given, or better. */
  public static Packing polish(Instance instance, Packing packing, Effort effort) {
    Effort some = effort.part(UNITS);
    int rounds = ROUNDS_A_PATTERN * packing.uses().size();
    Packing merged = PatternMerging.merge(instance, packing, rounds, 1, some);
    Packing searched = LocalSearch.improve(instance, merged, rounds, 1, some);
    return PatternMerging.merge(instance, searched, rounds, 2, some);
  }
}
