package org.kerftally.daemon.planning.packing;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/** States which blocks one stick of a type holds. Immutable; equal when alike. */
final class BlockPattern {

  private final int type;
  private final int[] blocks;
  private final int[] counts;

  /**
   * States a pattern.
   *
   * @param type the stick type's index
   * @param blocks the blocks that occur, rising
   * @param counts how many of each, at least 1
   */
  BlockPattern(int type, int[] blocks, int[] counts) {
    this.type = type;
    this.blocks = blocks;
    this.counts = counts;
  }

  int type() {
    return type;
  }

  /** Returns the blocks that occur, rising; not to be changed. */
  int[] blocks() {
    return blocks;
  }

  /** Returns how many there are of each; not to be changed. */
  int[] counts() {
    return counts;
  }

  /** Returns how many of a block it holds. */
  int count(int block) {
    int at = Arrays.binarySearch(blocks, block);
    return at < 0 ? 0 : counts[at];
  }

  /** Returns how many pieces of each item it holds. */
  int[] pieces(Blocks all) {
    int[] dense = new int[all.instance().itemCount()];
    for (int n = 0; n < blocks.length; n++) {
      for (int item : all.content(blocks[n])) {
        dense[item] += counts[n];
      }
    }
    return dense;
  }

  /** Returns the same stick with pairs of two blocks put together as one new block. */
  BlockPattern joined(int one, int other, int pairs, int block) {
    int[] dense = new int[block + 1];
    for (int n = 0; n < blocks.length; n++) {
      dense[blocks[n]] = counts[n];
    }
    dense[one] -= pairs;
    dense[other] -= pairs;
    dense[block] = pairs;
    return ofDense(type, dense);
  }

  static BlockPattern ofDense(int type, int[] dense) {
    int used = 0;
    for (int count : dense) {
      used += count > 0 ? 1 : 0;
    }
    int[] blocks = new int[used];
    int[] counts = new int[used];
    int next = 0;
    for (int b = 0; b < dense.length; b++) {
      if (dense[b] > 0) {
        blocks[next] = b;
        counts[next++] = dense[b];
      }
    }
    return new BlockPattern(type, blocks, counts);
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof BlockPattern that
        && type == that.type
        && Arrays.equals(blocks, that.blocks)
        && Arrays.equals(counts, that.counts);
  }

  @Override
  public int hashCode() {
    return (Arrays.hashCode(blocks) * 31 + Arrays.hashCode(counts)) * 31 + type;
  }

  @Override
  public String toString() {
    return type + ":" + Arrays.toString(blocks) + "x" + Arrays.toString(counts);
  }
}
