package org.kerftally.daemon.planning.packing;

/**
 * Says what the {@link PackingTree} is to decide: whether all pieces go into the sticks there are,
 * or whether they do at no more than some cost.
 *
 * <p>Without a cost a stick counts by its length, which leads the relaxation to full sticks; with
 * one stick type its number is then not a row but what the value is held against.
 */
final class Question {

  private final Instance instance;
  private final boolean costs;
  private final double unit;
  private long limit;

  private Question(Instance instance, boolean costs, long limit) {
    this.instance = instance;
    this.costs = costs;
    this.limit = limit;
    long largest = 1;
    for (StickType type : instance.types()) {
      largest = Math.max(largest, costs ? type.cost() : type.reach());
    }
    this.unit = largest;
  }

  /** Do the sticks there are take everything? */
  static Question doTheyFit(Instance instance) {
    return new Question(instance, false, 0);
  }

  /** Do sticks of at most this cost take everything? */
  static Question within(Instance instance, long cost) {
    return new Question(instance, true, cost);
  }

  boolean costsMatter() {
    return costs;
  }

  /** Returns the most that a packing may cost; of no meaning where costs do not matter. */
  long limit() {
    return limit;
  }

  void lower(long to) {
    limit = to;
  }

  /** Tells whether the numbers of sticks are rows of the relaxation. */
  boolean limitsTypes() {
    return costs || instance.types().size() > 1;
  }

  /** Returns what a stick costs in the relaxation. */
  double stickCost(int type) {
    StickType stick = instance.types().get(type);
    return (costs ? stick.cost() : stick.reach()) / unit;
  }

  /** Returns the whole number that {@link #stickCost} is this many of. */
  long wholeCost(int type) {
    StickType stick = instance.types().get(type);
    return costs ? stick.cost() : stick.reach();
  }

  long wholeUnit() {
    return (long) unit;
  }

  /** Returns the value above which a relaxation says no. */
  double target() {
    if (costs) {
      return limit / unit;
    }
    return limitsTypes() ? Double.POSITIVE_INFINITY : instance.types().get(0).available();
  }
}
