package org.kerftally.daemon.planning.packing;

import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;

/**
 * Takes the duals of a node's relaxation as whole numbers, and decides by them in exact arithmetic
 * whether the node can be closed.
 *
 * <p>With weights p of the blocks, demands d, prices s of the subset rows with limits l, and f(t)
 * no less than what any pattern of type t weighs less its penalties, a packing with n(t) sticks of
 * type t obeys
 *
 * <pre>  W = sum of p d − sum of s l &lt;= sum over t of n(t) f(t).</pre>
 *
 * <p>So the node is refuted when the sticks there are carry less than W. Where costs matter and
 * n(t) lies between least and most, with any v(t) of at least 0 for the least,
 *
 * <pre>  cost &gt;= W + sum of v least − sum of most max(0, f − c + v)</pre>
 *
 * <p>since f(t) &lt;= c(t) − v(t) + max(0, ...). Neither asks where p, s and v came from.
 */
final class NodePrices {

  private static final int MOST_BITS = 34;
  private static final int WANTED_BITS = 58;
  private static final long OUT_OF_REACH = Long.MAX_VALUE / 4;
  private static final double RAISE = 1 + 1e-9;

  private final NodeLp node;
  private final List<StickType> types;
  private final int bits;
  private final long[] blocks;
  private final long[] leastPrices;
  private final long[] bars;
  private final List<BlockPricer.Penalty> penalties = new ArrayList<>();
  private BigInteger wanted = BigInteger.ZERO;

  /** Takes the duals of a relaxation that was solved. */
  NodePrices(NodeLp node) {
    this.node = node;
    this.types = node.blocks().instance().types();
    Blocks all = node.blocks();
    double sum = 1;
    for (int b = 0; b < all.count(); b++) {
      sum += node.blockDual(b) * all.demand(b);
    }
    for (int c = 0; c < node.cuts().size(); c++) {
      sum += node.cutDual(c) * node.cuts().get(c).limit();
    }
    this.bits = Math.max(0, Math.min(MOST_BITS, WANTED_BITS - 1 - Math.getExponent(sum)));
    this.blocks = new long[all.count()];
    for (int b = 0; b < blocks.length; b++) {
      blocks[b] = (long) Math.floor(Math.scalb(node.blockDual(b), bits));
      wanted = wanted.add(product(blocks[b], all.demand(b)));
    }
    for (int c = 0; c < node.cuts().size(); c++) {
      long weight = (long) Math.ceil(Math.scalb(node.cutDual(c), bits));
      if (weight > 0) {
        penalties.add(new BlockPricer.Penalty(node.cuts().get(c), weight));
        wanted = wanted.subtract(product(weight, node.cuts().get(c).limit()));
      }
    }
    this.bars = new long[types.size()];
    this.leastPrices = new long[types.size()];
    for (int t = 0; t < bars.length; t++) {
      leastPrices[t] = (long) Math.floor(Math.scalb(node.leastDual(t), bits));
      if (node.most(t) == 0) {
        bars[t] = OUT_OF_REACH;
        continue;
      }
      double bar = node.question().stickCost(t) + node.stickDual(t);
      bars[t] = Math.max(0, (long) Math.scalb(bar * RAISE, bits) - leastPrices[t]);
    }
  }

  /** Returns the weight of each block. */
  long[] blocks() {
    return blocks;
  }

  List<BlockPricer.Penalty> penalties() {
    return penalties;
  }

  /** Returns by type what a pattern must weigh more than to be of use. */
  long[] bars() {
    return bars;
  }

  /**
   * Tells whether no packing answers the question.
   *
   * @param carried by type, no less than what any pattern weighs less its penalties
   */
  boolean refute(long[] carried) {
    BigInteger spare = wanted.negate();
    for (int t = 0; t < carried.length; t++) {
      spare = spare.add(product(carried[t], node.most(t)));
    }
    return spare.signum() < 0 || (node.question().costsMatter() && gap(carried).signum() < 0);
  }

  /** Returns by how much the limit on cost exceeds the bound, in units of weight times cost. */
  private BigInteger gap(long[] carried) {
    Question question = node.question();
    BigInteger unit = BigInteger.valueOf(question.wholeUnit());
    BigInteger bound = wanted.multiply(unit);
    for (int t = 0; t < carried.length; t++) {
      bound = bound.add(product(leastPrices[t], node.least(t)).multiply(unit));
      BigInteger excess =
          unit.multiply(BigInteger.valueOf(carried[t]).add(BigInteger.valueOf(leastPrices[t])))
              .subtract(BigInteger.valueOf(question.wholeCost(t)).shiftLeft(bits));
      if (excess.signum() > 0) {
        bound = bound.subtract(excess.multiply(BigInteger.valueOf(node.most(t))));
      }
    }
    return BigInteger.valueOf(question.limit()).shiftLeft(bits).subtract(bound);
  }

  /**
   * Returns the limit that these weights set on every pattern of the tree. To be asked at the root
   * only, before there are subset rows or least numbers.
   */
  BlockPricer.Limit limit(long[] carried) {
    BigInteger spare = wanted.negate();
    if (node.question().costsMatter()) {
      BigInteger unit = BigInteger.valueOf(node.question().wholeUnit());
      BigInteger[] parts = gap(carried).divideAndRemainder(unit);
      spare = parts[0].add(BigInteger.ONE);
    } else {
      for (int t = 0; t < carried.length; t++) {
        spare = spare.add(product(carried[t], node.most(t)));
      }
    }
    long slack = spare.bitLength() < Long.SIZE - 2 ? spare.longValue() : Long.MAX_VALUE / 4;
    return new BlockPricer.Limit(blocks, carried, slack);
  }

  private static BigInteger product(long one, long other) {
    return BigInteger.valueOf(one).multiply(BigInteger.valueOf(other));
  }
}
