package org.kerftally.daemon.planning.packing;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Says how a node of the {@link PackingTree} is split in two, which between them hold every packing
 * of the node: by the number of sticks of a type, or by a pair of blocks.
 */
sealed interface Branching {

  /** How far from whole a number of sticks must be to be branched on. */
  double CERTAIN = 1e-5;

  /** Takes a node to the child to look at first. */
  void goFirst(NodeLp node);

  /** Takes a node to the other child. */
  void goSecond(NodeLp node);

  /**
   * Splits by a type's number: at most {@code fewer}, or more.
   *
   * @param type the stick type
   * @param fewer the number that divides
   * @param upFirst whether more is looked at first
   */
  record Sticks(int type, int fewer, boolean upFirst) implements Branching {
    @Override
    public void goFirst(NodeLp node) {
      go(node, upFirst);
    }

    @Override
    public void goSecond(NodeLp node) {
      go(node, !upFirst);
    }

    private void go(NodeLp node, boolean up) {
      if (up) {
        node.useAtLeast(type, fewer + 1);
      } else {
        node.useAtMost(type, fewer);
      }
    }
  }

  /**
   * Splits by a pair: some stick holds one of each, or none does.
   *
   * @param one a block
   * @param other another, or the same
   */
  record Together(int one, int other) implements Branching {
    @Override
    public void goFirst(NodeLp node) {
      node.join(one, other, 1);
    }

    @Override
    public void goSecond(NodeLp node) {
      node.part(one, other);
    }
  }

  /** Chooses how to split, or {@code null} where the solution is whole. */
  static @Nullable Branching of(NodeLp node) {
    List<NodeLp.Amount> solution = node.solution();
    if (node.question().costsMatter()) {
      Branching sticks = sticks(node, solution);
      if (sticks != null) {
        return sticks;
      }
    }
    PairChoice.Pair pair = PairChoice.of(node, solution);
    return pair == null ? null : new Together(pair.one(), pair.other());
  }

  private static @Nullable Branching sticks(NodeLp node, List<NodeLp.Amount> solution) {
    double[] used = new double[node.blocks().instance().types().size()];
    for (NodeLp.Amount amount : solution) {
      used[amount.pattern().type()] += amount.amount();
    }
    int best = -1;
    double bestScore = 0;
    for (int t = 0; t < used.length; t++) {
      double part = used[t] - Math.floor(used[t] + CERTAIN);
      double score = Math.min(part, 1 - part) * node.question().stickCost(t);
      if (part > CERTAIN && score > bestScore) {
        best = t;
        bestScore = score;
      }
    }
    if (best < 0) {
      return null;
    }
    int fewer = (int) Math.floor(used[best]);
    return new Sticks(best, fewer, used[best] - fewer > 0.5);
  }
}
