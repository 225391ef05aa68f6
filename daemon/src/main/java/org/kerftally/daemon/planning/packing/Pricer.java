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
   * Prices all types where only patterns heavier than a bar are of use, which may save work.
   *
   * @param weights as above
   * @param bars by type; what is carried may be said to be as much where it is less
   */
  default Priced price(long[] weights, long[] bars, Effort effort) {
    return price(weights, effort);
  }

  /**
   * Returns the pricer that suits an instance: a table where that is small, else a short search
   * with something certain behind it, else a search alone.
   */
  static Pricer of(Instance instance) {
    if (TablePricer.cells(instance) < TrialPricer.LEAST_CELLS) {
      return new TablePricer(instance);
    }
    return TrialPricer.suits(instance)
        ? new TrialPricer(instance)
        : new SearchPricer(instance, SearchPricer.NODE_LIMIT);
  }
}
