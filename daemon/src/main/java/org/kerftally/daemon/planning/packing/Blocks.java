package org.kerftally.daemon.planning.packing;

import java.util.Arrays;

/**
 * Holds what a node of the {@link PackingTree} still has to place: blocks of pieces that stay
 * together, how many of each are wanted, and which of them exclude each other.
 *
 * <p>At the root every item is a block of one piece. The tree branches on a pair of blocks, after
 * Ryan and Foster (1981) in the form for demands above one of da Silva and Schouery (2023):
 *
 * <ul>
 *   <li>{@link #joined}: some stick holds one of each; so many pairs become blocks of their own;
 *   <li>{@link #parted}: no stick holds one of each, of those that are not joined already.
 * </ul>
 *
 * <p>Together the two cover every packing. A joined block excludes whatever either of its halves
 * excluded when they were joined: an exclusion speaks of every piece that was free when it was
 * made. A later exclusion of a half says nothing about pieces that were joined before it.
 *
 * <p>Immutable from outside; children are copies.
 */
final class Blocks {

  private static final int BITS = Long.SIZE;

  private final Instance instance;
  private final int count;
  private final long[] sizes;
  private final int[] demands;
  private final int[][] contents;
  private final long[][] excludes;

  private Blocks(
      Instance instance,
      int count,
      long[] sizes,
      int[] demands,
      int[][] contents,
      long[][] excludes) {
    this.instance = instance;
    this.count = count;
    this.sizes = sizes;
    this.demands = demands;
    this.contents = contents;
    this.excludes = excludes;
  }

  /** Returns the blocks of the root: block i is one piece of item i. */
  static Blocks of(Instance instance) {
    int items = instance.itemCount();
    int[][] contents = new int[items][];
    for (int i = 0; i < items; i++) {
      contents[i] = new int[] {i};
    }
    return new Blocks(
        instance,
        items,
        instance.sizes.clone(),
        instance.demands.clone(),
        contents,
        new long[items][0]);
  }

  /** Returns the blocks after {@code times} pairs of two blocks, or of one, were joined. */
  Blocks joined(int one, int other, int times) {
    long[] moreSizes = Arrays.copyOf(sizes, count + 1);
    int[] moreDemands = Arrays.copyOf(demands, count + 1);
    int[][] moreContents = Arrays.copyOf(contents, count + 1);
    moreSizes[count] = sizes[one] + sizes[other];
    moreDemands[count] = times;
    moreDemands[one] -= times;
    moreDemands[other] -= times;
    moreContents[count] = together(contents[one], contents[other]);
    long[][] moreExcludes = new long[count + 1][];
    long[] own = union(excludes[one], excludes[other]);
    boolean toItself = bit(own, one) || bit(own, other);
    for (int b = 0; b < count; b++) {
      moreExcludes[b] = bit(own, b) ? with(excludes[b], count) : excludes[b];
    }
    moreExcludes[count] = toItself ? with(own, count) : own;
    return new Blocks(instance, count + 1, moreSizes, moreDemands, moreContents, moreExcludes);
  }

  /** Returns the blocks with two of them, or one and itself, excluding each other. */
  Blocks parted(int one, int other) {
    long[][] more = excludes.clone();
    more[one] = with(more[one], other);
    more[other] = with(more[other], one);
    return new Blocks(instance, count, sizes, demands, contents, more);
  }

  private static int[] together(int[] one, int[] other) {
    int[] all = Arrays.copyOf(one, one.length + other.length);
    System.arraycopy(other, 0, all, one.length, other.length);
    Arrays.sort(all);
    return all;
  }

  private static long[] union(long[] one, long[] other) {
    long[] all = Arrays.copyOf(one, Math.max(one.length, other.length));
    for (int w = 0; w < other.length; w++) {
      all[w] |= other[w];
    }
    return all;
  }

  private static long[] with(long[] set, int bit) {
    long[] more = Arrays.copyOf(set, Math.max(set.length, bit / BITS + 1));
    more[bit / BITS] |= 1L << bit;
    return more;
  }

  private static boolean bit(long[] set, int bit) {
    return bit / BITS < set.length && (set[bit / BITS] >>> bit & 1) != 0;
  }

  Instance instance() {
    return instance;
  }

  int count() {
    return count;
  }

  long size(int block) {
    return sizes[block];
  }

  /** Returns how many of a block are to be placed; 0 once all were joined to others. */
  int demand(int block) {
    return demands[block];
  }

  /** Returns the items of a block's pieces, one entry a piece, rising; not to be changed. */
  int[] content(int block) {
    return contents[block];
  }

  boolean excludes(int one, int other) {
    return bit(excludes[one], other);
  }

  /** Returns the set of blocks that one excludes, a bit a block; not to be changed. */
  long[] excluded(int block) {
    return excludes[block];
  }

  /** Tells whether a stick may hold these blocks, as far as demands and exclusions go. */
  boolean allows(int[] blocks, int[] counts) {
    for (int n = 0; n < blocks.length; n++) {
      if (counts[n] > demands[blocks[n]] || (counts[n] > 1 && excludes(blocks[n], blocks[n]))) {
        return false;
      }
      for (int k = 0; k < n; k++) {
        if (excludes(blocks[n], blocks[k])) {
          return false;
        }
      }
    }
    return true;
  }
}
