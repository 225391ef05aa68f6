package org.kerftally.daemon.planning.packing;

/**
 * States a subset-row inequality of Jepsen, Petersen, Spoorendonk and Pisinger (2008) for three
 * items: halve their three rows, round down.
 *
 * <p>With n(p) pieces of the three in pattern p and d wanted of them in all, every packing obeys
 * sum over p of floor(n(p) / 2) x(p) &lt;= floor(d / 2). It speaks of items, so it holds in every
 * node however blocks were joined.
 *
 * @param first an item
 * @param second another
 * @param third a third
 * @param limit the right-hand side
 */
record SubsetRow(int first, int second, int third, int limit) {

  static SubsetRow of(Instance instance, int first, int second, int third) {
    long pieces =
        (long) instance.demands[first] + instance.demands[second] + instance.demands[third];
    return new SubsetRow(first, second, third, (int) (pieces / 2));
  }

  /** Returns how many pieces of a block count. */
  int pieces(int[] content) {
    int pieces = 0;
    for (int item : content) {
      pieces += item == first || item == second || item == third ? 1 : 0;
    }
    return pieces;
  }

  /** Returns the coefficient of a pattern. */
  int coefficient(BlockPattern pattern, Blocks blocks) {
    int pieces = 0;
    for (int n = 0; n < pattern.blocks().length; n++) {
      pieces += pattern.counts()[n] * pieces(blocks.content(pattern.blocks()[n]));
    }
    return pieces / 2;
  }
}
