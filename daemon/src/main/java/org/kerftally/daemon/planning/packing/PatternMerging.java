package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;

/**
 * Lowers the number of distinct patterns at no more cost and no more sticks.
 *
 * <p>A few patterns are dissolved with all their sticks, and their pieces packed anew by patterns
 * that are each cut as often as they go. What comes out is taken when it is better in the order
 * given, in which distinct patterns come after cost and sticks.
 */
final class PatternMerging {

  private static final int FEWEST = 2;
  private static final int MOST = 6;
  private static final int[] NODE_LIMITS = {1, 20, 200};
  private static final double NOISE = 0.6;
  private static final long UNITS_A_ROUND = 1_000;
  private static final GreedyPacker.Choice[] CHOICES = GreedyPacker.Choice.values();

  private final Instance instance;
  private final GreedyPacker packer;
  private final SplittableRandom random;
  private final Comparator<Packing> order;
  private Packing best;

  private PatternMerging(
      Instance instance, Packing start, Comparator<Packing> order, long seed, Effort effort) {
    this.order = order;
    this.instance = instance;
    this.packer = new GreedyPacker(instance, effort);
    this.random = new SplittableRandom(seed);
    this.best = start;
  }

  /** Returns the packing bettered in so many rounds, or the packing itself. */
  static Packing merge(
      Instance instance,
      Packing start,
      Comparator<Packing> order,
      int rounds,
      long seed,
      Effort effort) {
    PatternMerging merging = new PatternMerging(instance, start, order, seed, effort);
    for (int round = 0; round < rounds && !effort.spend(UNITS_A_ROUND); round++) {
      if (merging.best.uses().size() >= FEWEST) {
        merging.round();
      }
    }
    return merging.best;
  }

  private void round() {
    List<Packing.Use> kept = new ArrayList<>(best.uses());
    int number = Math.min(kept.size(), random.nextInt(FEWEST, MOST + 1));
    for (int n = 0; n < number; n++) {
      int at = random.nextInt(kept.size());
      int rival = random.nextInt(kept.size());
      kept.remove(kept.get(rival).times() < kept.get(at).times() ? rival : at);
    }
    Remaining left = Remaining.of(instance);
    kept.forEach(use -> left.take(use.pattern(), use.times()));
    GreedyPacker.Style style =
        new GreedyPacker.Style(
            CHOICES[random.nextInt(CHOICES.length)],
            NODE_LIMITS[random.nextInt(NODE_LIMITS.length)],
            true,
            NOISE * random.nextInt(2));
    @Nullable List<Packing.Use> found = packer.pack(left, style, random);
    if (found != null) {
      kept.addAll(found);
      Packing merged = Packing.of(instance, kept);
      if (order.compare(merged, best) < 0) {
        best = merged;
      }
    }
  }
}
