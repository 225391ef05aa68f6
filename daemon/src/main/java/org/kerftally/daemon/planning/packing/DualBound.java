package org.kerftally.daemon.planning.packing;

import java.math.BigInteger;

/**
 * Turns proposed duals into bounds that hold whatever the duals are worth.
 *
 * <p>The duals are rounded down to whole multiples of a power of two and become weights of the
 * items; the pricer says exactly, in whole numbers, what a stick of each type can carry. With
 * weights p, demands d, carried f(t), costs c(t) and q(t) sticks, for any z of at least 1
 *
 * <pre>  cost &gt;= (sum of d p) / z + sum over t of q(t) min(0, c(t) − f(t) / z)</pre>
 *
 * <p>because the weights p / z make a feasible solution of the dual problem. Where sticks are there
 * without number z is raised until f(t) / z is no more than c(t): that is the bound of Farley, "A
 * note on bounding a class of linear programming problems" (1990). All of it is computed in big
 * integers and rounded up, since costs are whole.
 */
final class DualBound {

  private static final int MOST_FRACTION_BITS = 34;
  private static final int WANTED_BITS = 59;

  private final Instance instance;
  private final int fractionBits;
  private final long[] weights;

  private DualBound(Instance instance, int fractionBits, long[] weights) {
    this.instance = instance;
    this.fractionBits = fractionBits;
    this.weights = weights;
  }

  /** Rounds duals down to weights. Negative ones and what is no number count as 0. */
  static DualBound of(Instance instance, double[] duals) {
    double sum = 1;
    for (int i = 0; i < duals.length; i++) {
      if (duals[i] > 0) {
        sum += duals[i] * instance.demands[i];
      }
    }
    int bits = Math.min(MOST_FRACTION_BITS, WANTED_BITS - 1 - Math.getExponent(sum));
    long[] weights = new long[duals.length];
    for (int i = 0; i < duals.length; i++) {
      if (duals[i] > 0 && instance.demands[i] > 0) {
        weights[i] = (long) Math.floor(Math.scalb(duals[i], bits));
      }
    }
    return new DualBound(instance, Math.max(0, bits), weights);
  }

  /** Returns the weight of each item. */
  long[] weights() {
    return weights.clone();
  }

  /** Returns by type the weight that is worth its cost, or 0 where that is out of range. */
  long[] costs() {
    long most = Weighting.MOST >> fractionBits;
    return instance.types().stream()
        .mapToLong(type -> type.cost() > most ? 0 : type.cost() << fractionBits)
        .toArray();
  }

  private long wanted() {
    long wanted = 0;
    for (int i = 0; i < weights.length; i++) {
      wanted = Math.addExact(wanted, Math.multiplyExact(weights[i], (long) instance.demands[i]));
    }
    return wanted;
  }

  /** Returns the covering inequality of these weights. */
  Weighting weighting(Pricer.Carried carried) {
    return new Weighting(wanted(), carried.all());
  }

  /** Returns a safe lower bound on the cost of every packing, at least 0. */
  long cost(Pricer.Carried carried) {
    BigInteger scale = BigInteger.ONE;
    BigInteger over = BigInteger.ONE;
    for (int t = 0; t < instance.types().size(); t++) {
      BigInteger cost = scaledCost(t);
      if (instance.isUnlimited(t) && cost.signum() > 0) {
        BigInteger weight = BigInteger.valueOf(carried.by(t));
        if (weight.multiply(over).compareTo(scale.multiply(cost)) > 0) {
          scale = weight;
          over = cost;
        }
      }
    }
    BigInteger sum = BigInteger.valueOf(wanted()).multiply(over);
    for (int t = 0; t < instance.types().size(); t++) {
      StickType type = instance.types().get(t);
      BigInteger gain =
          scaledCost(t).multiply(scale).subtract(BigInteger.valueOf(carried.by(t)).multiply(over));
      if (gain.signum() < 0) {
        sum = sum.add(gain.multiply(BigInteger.valueOf(type.available())));
      }
    }
    return ceilDiv(sum, shifted(scale));
  }

  private BigInteger scaledCost(int type) {
    return shifted(BigInteger.valueOf(instance.types().get(type).cost()));
  }

  private BigInteger shifted(BigInteger number) {
    return number.shiftLeft(fractionBits);
  }

  private static long ceilDiv(BigInteger dividend, BigInteger divisor) {
    if (dividend.signum() <= 0) {
      return 0;
    }
    return dividend.add(divisor).subtract(BigInteger.ONE).divide(divisor).longValueExact();
  }
}
