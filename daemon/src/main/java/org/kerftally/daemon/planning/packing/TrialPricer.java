package org.kerftally.daemon.planning.packing;

import org.jspecify.annotations.Nullable;

/**
 * Prices by a short search, and where that does not come to an end by what always does: a grid for
 * one stick type, a table for several.
 *
 * <p>No rule of sizes tells which is the better way. With 125 lengths of all sizes on sticks of
 * 500,000 units the search ends after a few hundred branches and its patterns lead dives to
 * packings soon. With 200 lengths of about a quarter of the stick it hardly ever ends. So both are
 * tried, and a search that failed often is left off.
 */
final class TrialPricer implements Pricer {

  /** Below so many cells a table is filled sooner than a search can fail. */
  static final long LEAST_CELLS = 1_000_000;

  /**
   * A table's cell takes about a nanosecond, a branch about 20: a trial costs a fifth of a table.
   */
  private static final long CELLS_A_BRANCH = 100;

  /** A table is so dear that few trials may go before it; a grid costs no more than a trial. */
  private static final int MOST_FAILURES_BEFORE_TABLE = 3;

  private static final int MOST_FAILURES_BEFORE_GRID = 30;

  private final Instance instance;
  private final SearchPricer search;
  private final int mostFailures;
  private @Nullable Pricer certain;
  private int failures;

  TrialPricer(Instance instance) {
    this.instance = instance;
    int types = instance.types().size();
    long cells = TablePricer.cells(instance);
    this.search =
        new SearchPricer(
            instance, types == 1 ? SearchPricer.NODE_LIMIT : cells / CELLS_A_BRANCH / types);
    this.mostFailures = types == 1 ? MOST_FAILURES_BEFORE_GRID : MOST_FAILURES_BEFORE_TABLE;
  }

  /** Tells whether there is something to fall back on. */
  static boolean suits(Instance instance) {
    return instance.types().size() == 1 || TablePricer.suits(instance);
  }

  @Override
  public Priced price(long[] weights, Effort effort) {
    return price(weights, new long[instance.types().size()], effort);
  }

  @Override
  public Priced price(long[] weights, long[] bars, Effort effort) {
    if (failures < mostFailures) {
      Priced priced = search.price(weights, effort);
      if (search.isComplete()) {
        failures = Math.max(0, failures - 1);
        return priced;
      }
      failures++;
    }
    if (certain == null) {
      certain = instance.types().size() == 1 ? new GridPricer(instance) : new TablePricer(instance);
    }
    return certain.price(weights, bars, effort);
  }
}
