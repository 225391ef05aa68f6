package org.kerftally.daemon.planning.packing;

import org.jspecify.annotations.Nullable;

/**
 * Prices by a short search, and by a table where that does not come to an end.
 *
 * <p>For tables of millions of cells no rule of sizes tells which is the better way. With 125
 * lengths of all sizes on sticks of 500,000 units the search ends after a few hundred branches, and
 * tables made dives two to seven times as long. With 200 lengths of about a quarter of the stick it
 * hardly ever ends. So both are tried, and what failed often is left off.
 */
final class TrialPricer implements Pricer {

  /** Below so many cells a table is filled sooner than a search can fail. */
  static final long LEAST_CELLS = 1_000_000;

  /**
   * A table's cell takes about a nanosecond, a branch about 20: a trial costs a fifth of a table.
   */
  private static final long CELLS_A_BRANCH = 100;

  private static final int MOST_FAILURES = 3;

  private final Instance instance;
  private final SearchPricer search;
  private @Nullable TablePricer table;
  private int failures;

  TrialPricer(Instance instance) {
    this.instance = instance;
    long types = instance.types().size();
    this.search = new SearchPricer(instance, TablePricer.cells(instance) / CELLS_A_BRANCH / types);
  }

  @Override
  public Priced price(long[] weights, Effort effort) {
    if (failures < MOST_FAILURES) {
      Priced priced = search.price(weights, effort);
      if (search.isComplete()) {
        failures = Math.max(0, failures - 1);
        return priced;
      }
      failures++;
    }
    if (table == null) {
      table = new TablePricer(instance);
    }
    return table.price(weights, effort);
  }
}
