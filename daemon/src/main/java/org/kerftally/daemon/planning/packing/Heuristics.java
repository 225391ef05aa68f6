package org.kerftally.daemon.planning.packing;

import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;

/**
 * Packs by rules of thumb: first and best fit decreasing, minimum bin slack, then, for several
 * stick types, the same with noise. The first is run to its end however little effort is left.
 */
final class Heuristics {

  private static final int[] NODE_LIMITS = {1, 60, 1_500};
  private static final int NOISY_RUNS = 24;
  private static final int NOISY_NODES = 150;
  private static final double NOISE = 0.5;

  /** Above so many entries, piece by piece packing and noisy runs are not worth their time. */
  private static final long LARGE = 10_000_000;

  private final Instance instance;
  private final long enough;
  private final Effort effort;
  private @Nullable Packing best;

  private Heuristics(Instance instance, @Nullable Packing start, long enough, Effort effort) {
    this.instance = instance;
    this.best = start;
    this.enough = enough;
    this.effort = effort;
  }

  /**
   * Returns the best packing found, or {@code null} for none.
   *
   * @param start a packing known already, or {@code null}
   * @param enough a cost that is known to be a lower bound: a packing that meets it ends the search
   */
  static @Nullable Packing best(
      Instance instance, @Nullable Packing start, long enough, Effort effort) {
    Heuristics heuristics = new Heuristics(instance, start, enough, effort);
    heuristics.run();
    return heuristics.best;
  }

  private void run() {
    SplittableRandom random = new SplittableRandom(1);
    List<GreedyPacker.Choice> choices = choices();
    GreedyPacker always = new GreedyPacker(instance, Effort.endless());
    for (GreedyPacker.Choice choice : choices) {
      if (best == null) {
        attempt(always, new GreedyPacker.Style(choice, 1, true, 0), random);
      }
    }
    GreedyPacker packer = new GreedyPacker(instance, effort);
    boolean large = instance.pieces() * instance.itemCount() > LARGE;
    for (int nodes : NODE_LIMITS) {
      for (GreedyPacker.Choice choice : choices) {
        for (boolean repeat : new boolean[] {true, false}) {
          if (isEnough()) {
            return;
          }
          if (repeat || (nodes > 1 && !large)) {
            attempt(packer, new GreedyPacker.Style(choice, nodes, repeat, 0), random);
          }
        }
      }
    }
    if (large) {
      return;
    }
    offer(BestFit.pack(instance));
    for (int n = 0; n < NOISY_RUNS && !isEnough() && choices.size() > 1; n++) {
      GreedyPacker.Choice choice = choices.get(n % choices.size());
      boolean repeat = n / choices.size() % 2 == 0;
      attempt(packer, new GreedyPacker.Style(choice, NOISY_NODES, repeat, NOISE), random);
    }
  }

  private List<GreedyPacker.Choice> choices() {
    return instance.types().size() == 1
        ? List.of(GreedyPacker.Choice.BY_VALUE)
        : List.of(GreedyPacker.Choice.values());
  }

  private void attempt(GreedyPacker packer, GreedyPacker.Style style, SplittableRandom random) {
    offer(packer.pack(Remaining.of(instance), style, random));
  }

  private void offer(@Nullable List<Packing.Use> uses) {
    if (uses != null) {
      Packing packing = Packing.of(instance, uses);
      if (best == null || packing.compareTo(best) < 0) {
        best = packing;
      }
    }
  }

  private boolean isEnough() {
    return effort.spent() || (best != null && best.cost() <= enough);
  }
}
