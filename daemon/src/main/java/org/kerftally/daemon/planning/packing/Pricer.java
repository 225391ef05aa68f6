package org.kerftally.daemon.planning.packing;

import java.util.List;

/** Finds the heaviest patterns of every stick type for given weights of the items. */
interface Pricer {

  /**
   * Says what was found.
   *
   * @param carried by stick type, available or not, a safe upper bound on the weight of every
   *     pattern; exact unless the search was cut off
   * @param patterns heavy patterns of the types available, the heaviest of each type among them
   */
  record Priced(Carried carried, List<Pattern> patterns) {}

  /** The most that one stick of each type carries. */
  final class Carried {
    private final long[] byType;

    Carried(long[] byType) {
      this.byType = byType.clone();
    }

    long by(int type) {
      return byType[type];
    }

    long[] all() {
      return byType.clone();
    }
  }

  /**
   * Prices all types.
   *
   * @param weights by item, at least 0, small enough that no pattern exceeds {@link Weighting#MOST}
   */
  Priced price(long[] weights, Effort effort);

  /**
   * Returns the pricer that suits an instance: a table where that is small, a search where a table
   * would be too large, and between them whichever turns out better.
   */
  static Pricer of(Instance instance) {
    if (!TablePricer.suits(instance)) {
      return new SearchPricer(instance, SearchPricer.NODE_LIMIT);
    }
    return TablePricer.cells(instance) < TrialPricer.LEAST_CELLS
        ? new TablePricer(instance)
        : new TrialPricer(instance);
  }
}
