package org.kerftally.daemon.planning.packing;

/**
 * Holds one covering inequality that every packing obeys: with some weight on every piece, a stick
 * of type t carries {@code carriedBy(t)} at the most, and {@code wanted} must be carried in all.
 *
 * <p>Whatever the weights are, sum over t of n_t times carriedBy(t) &gt;= wanted holds for the
 * numbers n_t of sticks used. So where the weights came from needs no trust, only that {@code
 * carriedBy} is no less than the heaviest pattern. Immutable.
 */
final class Weighting {

  /** A limit that keeps the sum of two such numbers within a {@code long}. */
  static final long MOST = 1L << 60;

  private final long wanted;
  private final long[] carried;

  /**
   * Makes an inequality.
   *
   * @param wanted the sum over all pieces of their weights, from 0 to {@link #MOST}
   * @param carried the most that one stick of each type carries, each from 0 to {@link #MOST}
   */
  Weighting(long wanted, long[] carried) {
    if (wanted < 0 || wanted > MOST) {
      throw new IllegalArgumentException("weight out of range: " + wanted);
    }
    for (long weight : carried) {
      if (weight < 0 || weight > MOST) {
        throw new IllegalArgumentException("weight out of range: " + weight);
      }
    }
    this.wanted = wanted;
    this.carried = carried.clone();
  }

  /** The inequality of plain sizes. */
  static Weighting ofSizes(Instance instance) {
    return new Weighting(
        instance.totalSize(), instance.types().stream().mapToLong(StickType::reach).toArray());
  }

  long wanted() {
    return wanted;
  }

  long carriedBy(int type) {
    return carried[type];
  }

  /** Tells whether all sticks there are carry less than is wanted: then nothing packs it. */
  boolean refutes(Instance instance) {
    long missing = wanted;
    for (int t = 0; t < carried.length && missing > 0; t++) {
      missing = lessAfter(missing, t, instance.types().get(t).available());
    }
    return missing > 0;
  }

  /** Returns what is still missing after so many sticks of a type, at least 0. */
  long lessAfter(long missing, int type, int sticks) {
    if (carried[type] == 0 || sticks == 0) {
      return missing;
    }
    long needed = (missing - 1) / carried[type] + 1;
    return needed <= sticks ? 0 : missing - carried[type] * sticks;
  }
}
