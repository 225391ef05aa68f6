package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.List;

/** Keeps count of what is still to be packed and which sticks are still there. Mutable. */
final class Remaining {

  final Instance instance;
  final int[] pieces;
  final int[] sticks;
  private long pieceCount;
  private long totalSize;

  private Remaining(Instance instance, int[] pieces, int[] sticks, long pieceCount, long size) {
    this.instance = instance;
    this.pieces = pieces;
    this.sticks = sticks;
    this.pieceCount = pieceCount;
    this.totalSize = size;
  }

  /** Starts with everything still to do. */
  static Remaining of(Instance instance) {
    int[] sticks = instance.types().stream().mapToInt(StickType::available).toArray();
    return new Remaining(
        instance, instance.demands.clone(), sticks, instance.pieces(), instance.totalSize());
  }

  /** Starts with no pieces to pack and so many sticks of each type at hand. */
  static Remaining empty(Instance instance, int[] sticks) {
    return new Remaining(instance, new int[instance.itemCount()], sticks.clone(), 0, 0);
  }

  Remaining copy() {
    return new Remaining(instance, pieces.clone(), sticks.clone(), pieceCount, totalSize);
  }

  /** Returns how many times a pattern can be cut whole, from what is wanted and what is there. */
  int repeats(Pattern pattern) {
    int most = sticks[pattern.type];
    for (int n = 0; n < pattern.items.length && most > 0; n++) {
      most = Math.min(most, pieces[pattern.items[n]] / pattern.counts[n]);
    }
    return most;
  }

  /** Cuts a pattern so many times; a negative number puts it back. */
  void take(Pattern pattern, int times) {
    for (int n = 0; n < pattern.items.length; n++) {
      pieces[pattern.items[n]] -= pattern.counts[n] * times;
      pieceCount -= (long) pattern.counts[n] * times;
    }
    totalSize -= pattern.fill() * times;
    sticks[pattern.type] -= times;
  }

  boolean isDone() {
    return pieceCount == 0;
  }

  long pieceCount() {
    return pieceCount;
  }

  long totalSize() {
    return totalSize;
  }

  /** Returns the index of the largest piece left, or -1. */
  int largest() {
    for (int i = 0; i < pieces.length; i++) {
      if (pieces[i] > 0) {
        return i;
      }
    }
    return -1;
  }

  /** Returns what is left as an instance of its own, numbered alike. */
  Instance toInstance() {
    List<StickType> types = new ArrayList<>();
    for (int t = 0; t < sticks.length; t++) {
      types.add(instance.types().get(t).withAvailable(sticks[t]));
    }
    return instance.withDemands(pieces).withTypes(types);
  }
}
