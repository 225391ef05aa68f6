package org.kerftally.daemon.planning.packing;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Chooses the pair of blocks to branch on: the two that share sticks most often in the relaxation
 * without doing so for certain, the larger the better.
 *
 * <p>Where they are joined little changes, so that the first way down ends in a packing if there is
 * one nearby; where they are parted the relaxation changes much, so that it is soon refuted.
 */
final class PairChoice {

  private static final double CERTAIN = 1e-6;

  private PairChoice() {}

  /** Two blocks, perhaps the same one twice. */
  record Pair(int one, int other) {}

  /** Returns the pair, or {@code null} where the solution is whole. */
  static @Nullable Pair of(NodeLp node, List<NodeLp.Amount> solution) {
    Blocks blocks = node.blocks();
    int count = blocks.count();
    double[] together = new double[count * count];
    for (NodeLp.Amount amount : solution) {
      int[] own = amount.pattern().blocks();
      int[] counts = amount.pattern().counts();
      for (int n = 0; n < own.length; n++) {
        for (int k = 0; k <= n; k++) {
          int pairs = n == k ? counts[n] / 2 : Math.min(counts[n], counts[k]);
          together[own[n] * count + own[k]] += pairs * amount.amount();
        }
      }
    }
    Pair best = null;
    double bestScore = -1;
    for (NodeLp.Amount amount : solution) {
      double part = amount.amount() - Math.floor(amount.amount() + CERTAIN);
      if (part < CERTAIN) {
        continue;
      }
      int[] own = amount.pattern().blocks();
      int[] counts = amount.pattern().counts();
      for (int n = 0; n < own.length; n++) {
        for (int k = n; k >= 0; k--) {
          if (n == k && counts[n] < 2) {
            continue;
          }
          double value = together[own[n] * count + own[k]];
          double fraction = value - Math.floor(value + CERTAIN);
          double score = fraction < CERTAIN ? 0 : fraction;
          score +=
              1e-3 * (blocks.size(own[n]) + blocks.size(own[k])) / blocks.instance().longestReach();
          if (score > bestScore) {
            bestScore = score;
            best = new Pair(own[k], own[n]);
          }
        }
      }
    }
    return best;
  }
}
