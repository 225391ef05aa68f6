package org.kerftally.daemon.planning.packing;

import org.jspecify.annotations.Nullable;

/**
 * Finds a cheap packing of an instance and bounds what any packing costs.
 *
 * <p>An implementation is deterministic while nobody stops it, and anytime: when the effort is
 * spent it returns the best it holds. It holds no state between calls.
 */
public interface PackingSolver {

  /**
   * Solves an instance.
   *
   * @param instance what to pack
   * @param start a packing already known, or {@code null}; the outcome is never worse
   * @param effort how long to go on
   */
  Outcome solve(Instance instance, @Nullable Packing start, Effort effort);

  /**
   * Says what was found.
   *
   * @param packing the best packing found, or {@code null} for none
   * @param bound a proven lower bound on the cost of every packing; {@link #INFEASIBLE} when it is
   *     proven that there is none
   */
  record Outcome(@Nullable Packing packing, long bound) {

    /** The bound where no packing exists. */
    public static final long INFEASIBLE = Long.MAX_VALUE;

    /** Tells whether no packing costs less than the one found. */
    public boolean isProven() {
      return packing != null && packing.cost() == bound;
    }
  }
}
