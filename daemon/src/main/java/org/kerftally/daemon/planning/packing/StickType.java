package org.kerftally.daemon.planning.packing;

import org.kerftally.shared.stock.StickKind;

/**
 * Describes sticks that are alike in all that packing looks at.
 *
 * <p>A pattern fits when its sizes sum to at most {@code capacity}, or to exactly {@code flush}.
 *
 * @param capacity the largest sum below which every sum fits, at least 0
 * @param flush one larger sum that fits too, or {@code capacity} where there is none
 * @param available how many there are, at least 0
 * @param cost the cost of one, at least 0
 * @param kind where they come from: decides between packings of equal cost only
 */
public record StickType(long capacity, long flush, int available, long cost, StickKind kind) {

  /** Checks the ranges. */
  public StickType {
    if (capacity < 0 || flush < capacity || available < 0 || cost < 0) {
      throw new IllegalArgumentException("not a stick type: " + capacity + ", " + flush);
    }
  }

  /** Tells whether sizes with this sum fit. */
  public boolean fits(long sum) {
    return sum <= capacity || sum == flush;
  }

  /** Returns the largest sum that fits. */
  public long reach() {
    return flush;
  }

  /** Returns the same sticks in another number. */
  StickType withAvailable(int number) {
    return new StickType(capacity, flush, number, cost, kind);
  }

  /** Returns the same sticks at no cost. */
  public StickType free() {
    return new StickType(capacity, flush, available, 0, kind);
  }

  /** Returns the same sticks with every sum up to {@link #reach()} fitting. */
  public StickType withoutGap() {
    return new StickType(flush, flush, available, cost, kind);
  }

  /** Tells whether taking one from the rack is work: the stick in the saw lies there already. */
  boolean isHandled() {
    return kind != StickKind.IN_SAW;
  }
}
