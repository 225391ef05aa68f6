package org.kerftally.shared;

import java.util.SplittableRandom;
import java.util.function.Consumer;

/**
 * Runs a property over many random cases, each from a seed of its own that a failure names.
 *
 * <p>The first seed is fixed, so that every run is the same; {@code -Dkerftally.seed=N} runs the
 * one case of seed N.
 */
public final class SeededCases {

  private static final String PROPERTY = "kerftally.seed";

  private SeededCases() {}

  /** Tells whether all cases run, not one by its seed: only then do totals over them mean much. */
  public static boolean runsAll() {
    return Long.getLong(PROPERTY) == null;
  }

  /** Runs {@code cases} cases; a failure tells the seed to run it again by. */
  public static void run(int cases, Consumer<SplittableRandom> property) {
    Long only = Long.getLong(PROPERTY);
    long first = only == null ? 1 : only;
    long end = only == null ? first + cases : first + 1;
    for (long seed = first; seed < end; seed++) {
      try {
        property.accept(new SplittableRandom(seed));
      } catch (RuntimeException | AssertionError failure) {
        throw new AssertionError(
            "seed "
                + seed
                + " (run it alone with -D"
                + PROPERTY
                + "="
                + seed
                + "): "
                + failure.getMessage(),
            failure);
      }
    }
  }
}
