package org.kerftally.daemon.planning.packing.lp;

import java.util.Arrays;

/** Sorts numbers into doubly linked lists by a count each has, so that the smallest are at hand. */
final class CountLists {

  static final int NONE = -1;

  private int[] head = {NONE, NONE};
  private int[] next = {};
  private int[] previous = {};
  private int[] list = {};

  /**
   * Starts with numbers 0 to {@code size - 1}, none in any list; counts are at most {@code size}.
   */
  void clear(int size) {
    if (list.length < size) {
      next = new int[size];
      previous = new int[size];
      list = new int[size];
      head = new int[size + 1];
    }
    Arrays.fill(head, NONE);
    Arrays.fill(list, NONE);
  }

  /** Returns the first of a list, or {@link #NONE}. */
  int first(int count) {
    return head[count];
  }

  /** Returns the one after another in its list, or {@link #NONE}. */
  int after(int number) {
    return next[number];
  }

  /** Puts a number into another list. */
  void move(int number, int count) {
    remove(number);
    int second = head[count];
    next[number] = second;
    previous[number] = NONE;
    if (second != NONE) {
      previous[second] = number;
    }
    head[count] = number;
    list[number] = count;
  }

  /** Takes a number out of its list, where it is in one. */
  void remove(int number) {
    int count = list[number];
    if (count == NONE) {
      return;
    }
    int before = previous[number];
    int behind = next[number];
    if (before == NONE) {
      head[count] = behind;
    } else {
      next[before] = behind;
    }
    if (behind != NONE) {
      previous[behind] = before;
    }
    list[number] = NONE;
  }
}
