package org.kerftally.daemon.planning.packing;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * States what is cut from one stick: how many of each item. Immutable; equal when alike.
 *
 * <p>Only items that occur are held, by falling size.
 */
public final class Pattern {

  final int type;
  final int[] items;
  final int[] counts;
  private final long fill;

  private Pattern(int type, int[] items, int[] counts, long fill) {
    this.type = type;
    this.items = items;
    this.counts = counts;
    this.fill = fill;
  }

  /** Makes the pattern that takes {@code dense[i]} of item {@code i}. */
  static Pattern of(Instance instance, int type, int[] dense) {
    int used = 0;
    for (int count : dense) {
      used += count > 0 ? 1 : 0;
    }
    int[] items = new int[used];
    int[] counts = new int[used];
    long fill = 0;
    int next = 0;
    for (int i = 0; i < dense.length; i++) {
      if (dense[i] > 0) {
        items[next] = i;
        counts[next++] = dense[i];
        fill += instance.sizes[i] * dense[i];
      }
    }
    return new Pattern(type, items, counts, fill);
  }

  /** Returns the same pieces in a stick of another type. */
  Pattern onType(int other) {
    return other == type ? this : new Pattern(other, items, counts, fill);
  }

  /** Returns the stick type's index. */
  public int type() {
    return type;
  }

  /** Returns how many different items occur. */
  public int distinct() {
    return items.length;
  }

  /** Returns the {@code n}-th item that occurs, by falling size. */
  public int item(int n) {
    return items[n];
  }

  /** Returns how many of the {@code n}-th item are cut. */
  public int count(int n) {
    return counts[n];
  }

  /** Returns the sum of the sizes. */
  public long fill() {
    return fill;
  }

  /** Adds this pattern {@code times} over to a count by item. */
  void addTo(int[] dense, int times) {
    for (int n = 0; n < items.length; n++) {
      dense[items[n]] += counts[n] * times;
    }
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Pattern that
        && type == that.type
        && Arrays.equals(items, that.items)
        && Arrays.equals(counts, that.counts);
  }

  @Override
  public int hashCode() {
    return (Arrays.hashCode(items) * 31 + Arrays.hashCode(counts)) * 31 + type;
  }

  @Override
  public String toString() {
    return type + ":" + Arrays.toString(items) + "x" + Arrays.toString(counts);
  }
}
