package org.kerftally.daemon.planning.packing;

import java.util.Arrays;
import java.util.List;

/**
 * States one packing problem in whole numbers: sizes with their demands, and the sticks there are.
 *
 * <p>Sizes fall strictly; an item is known by its index, a stick type by its index in {@link
 * #types()}. A demand may be zero, so that a residue keeps the numbering of the whole. Immutable.
 */
public final class Instance {

  final long[] sizes;
  final int[] demands;
  private final List<StickType> types;
  private final long pieces;
  private final long totalSize;

  private Instance(long[] sizes, int[] demands, List<StickType> types) {
    this.sizes = sizes;
    this.demands = demands;
    this.types = List.copyOf(types);
    long count = 0;
    long total = 0;
    for (int i = 0; i < sizes.length; i++) {
      count = Math.addExact(count, demands[i]);
      total = Math.addExact(total, Math.multiplyExact(sizes[i], (long) demands[i]));
    }
    this.pieces = count;
    this.totalSize = total;
  }

  /**
   * Makes an instance.
   *
   * @throws IllegalArgumentException when sizes do not fall strictly above zero or a demand is
   *     negative
   * @throws ArithmeticException when the sum of all pieces exceeds a {@code long}
   */
  public static Instance of(long[] sizes, int[] demands, List<StickType> types) {
    if (sizes.length != demands.length) {
      throw new IllegalArgumentException(sizes.length + " sizes, " + demands.length + " demands");
    }
    for (int i = 0; i < sizes.length; i++) {
      if (sizes[i] <= 0 || (i > 0 && sizes[i] >= sizes[i - 1]) || demands[i] < 0) {
        throw new IllegalArgumentException("item " + i + ": " + sizes[i] + " x " + demands[i]);
      }
    }
    return new Instance(sizes.clone(), demands.clone(), types);
  }

  /** Returns the same problem with other demands. */
  public Instance withDemands(int[] others) {
    return of(sizes, others, types);
  }

  /** Returns the same problem with other sticks, numbered alike. */
  public Instance withTypes(List<StickType> others) {
    return new Instance(sizes, demands, others);
  }

  /** Returns how many distinct sizes there are. */
  public int itemCount() {
    return sizes.length;
  }

  /** Returns the size of item {@code i}. */
  public long size(int i) {
    return sizes[i];
  }

  /** Returns how many of item {@code i} are wanted. */
  public int demand(int i) {
    return demands[i];
  }

  /** Returns the stick types. */
  public List<StickType> types() {
    return types;
  }

  /** Returns how many pieces are wanted in all. */
  public long pieces() {
    return pieces;
  }

  /** Returns the sum of all wanted pieces' sizes. */
  public long totalSize() {
    return totalSize;
  }

  /** Returns the largest sum that fits any type of stick, available or not; 0 without types. */
  long longestReach() {
    return types.stream().mapToLong(StickType::reach).max().orElse(0);
  }

  /** Tells whether every piece wanted fits some stick there is, by itself. */
  public boolean everyPieceFits() {
    for (int i = 0; i < sizes.length; i++) {
      if (demands[i] > 0 && !fitsAlone(i)) {
        return false;
      }
    }
    return true;
  }

  /** Tells whether a piece of item {@code i} fits some stick there is, by itself. */
  public boolean fitsAlone(int i) {
    return types.stream().anyMatch(type -> type.available() > 0 && type.fits(sizes[i]));
  }

  /** Tells whether there are as many sticks of a type as could ever be used. */
  boolean isUnlimited(int type) {
    return types.get(type).available() >= pieces;
  }

  @Override
  public String toString() {
    return "sizes " + Arrays.toString(sizes) + " demands " + Arrays.toString(demands) + " " + types;
  }
}
