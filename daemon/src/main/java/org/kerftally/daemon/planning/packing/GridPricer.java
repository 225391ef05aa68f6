package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.List;

/**
 * Prices one stick type, however long in units, by the search of {@link BlockPricer}: a table over
 * rooms rounded to a grid bounds from above, an exact search over true lengths finds the patterns.
 *
 * <p>A table over every unit of a stick of 500,000 takes a hundred times the cells, and a search
 * that bounds by weight for size alone often does not end: with 250 lengths between a seventh and
 * two thirds of the stick it stopped short at every pricing, and the relaxation was taken for
 * solved far from its optimum. Here every pricing ends, and the heaviest pattern led by each length
 * is found, which are many unlike ones at once.
 *
 * <p>Not thread-safe.
 */
final class GridPricer implements Pricer {

  private static final int PATTERNS_A_PRICING = 60;

  private final Instance instance;
  private final Blocks blocks;
  private final BlockPricer pricer;

  GridPricer(Instance instance) {
    this.instance = instance;
    this.blocks = Blocks.of(instance);
    this.pricer = new BlockPricer(blocks, instance.longestReach(), null);
  }

  @Override
  public Priced price(long[] weights, Effort effort) {
    return price(weights, new long[instance.types().size()], effort);
  }

  @Override
  public Priced price(long[] weights, long[] bars, Effort effort) {
    BlockPricer.Priced priced = pricer.price(weights, List.of(), bars, PATTERNS_A_PRICING, effort);
    List<Pattern> patterns = new ArrayList<>();
    for (BlockPattern pattern : priced.patterns()) {
      patterns.add(Pattern.of(instance, pattern.type(), pattern.pieces(blocks)));
    }
    return new Priced(new Carried(priced.carried()), patterns);
  }
}
