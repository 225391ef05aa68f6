package org.kerftally.daemon.planning.packing;

import java.util.Arrays;
import java.util.List;

/**
 * Counts what subset rows cost a pattern while its blocks are taken one by one.
 *
 * <p>A row counts half of its pieces, rounded down, so what a block costs depends on what was taken
 * before it.
 */
final class PenaltyCount {

  private final int[][] rowsAt;
  private final int[][] piecesAt;
  private final long[] weights;
  private final int[] counts;

  /**
   * Starts with nothing taken.
   *
   * @param order the blocks by position
   * @param penalties the rows with their prices
   */
  PenaltyCount(Blocks blocks, int[] order, List<BlockPricer.Penalty> penalties) {
    rowsAt = new int[order.length][];
    piecesAt = new int[order.length][];
    weights = penalties.stream().mapToLong(BlockPricer.Penalty::weight).toArray();
    counts = new int[weights.length];
    int[] rows = new int[weights.length];
    int[] pieces = new int[weights.length];
    for (int j = 0; j < order.length; j++) {
      int used = 0;
      for (int row = 0; row < rows.length; row++) {
        int counted = penalties.get(row).row().pieces(blocks.content(order[j]));
        if (counted > 0) {
          rows[used] = row;
          pieces[used++] = counted;
        }
      }
      rowsAt[j] = Arrays.copyOf(rows, used);
      piecesAt[j] = Arrays.copyOf(pieces, used);
    }
  }

  /** Takes the block at a position so many times and returns what that costs. */
  long take(int position, int times) {
    long cost = 0;
    for (int n = 0; n < rowsAt[position].length; n++) {
      int row = rowsAt[position][n];
      int before = counts[row] >> 1;
      counts[row] += times * piecesAt[position][n];
      cost += weights[row] * ((counts[row] >> 1) - before);
    }
    return cost;
  }

  /** Puts back what was taken last from a position. */
  void putBack(int position, int times) {
    for (int n = 0; n < rowsAt[position].length; n++) {
      counts[rowsAt[position][n]] -= times * piecesAt[position][n];
    }
  }
}
