package org.kerftally.daemon.planning.sequence;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.Effort;

/**
 * Answers whether the parts of one group can be finished with at most so many open at once.
 *
 * <p>What is still possible depends on the set of finished parts alone, so a set from which it went
 * wrong once is remembered and never entered again: dynamic programming over sets, gone through in
 * depth (after Chu &amp; Stuckey, Minimizing the maximum number of open stacks by customer search,
 * 2009). At most 64 parts, a bit each. Memory is bounded: beyond a number of sets remembered, or
 * once the effort is spent, the answer is that it is not known.
 */
final class OpenPartsSearch {

  private static final int MOST_SETS = 400_000;
  private static final long UNITS_A_SET = 5_000;

  private final int[] parts;
  private final long[] linked;
  private final long openAtFirst;
  private final long all;
  private final Effort effort;
  private final Set<Long> failed = new HashSet<>();
  private final List<Integer> backwards = new ArrayList<>();
  private int limit;
  private boolean gaveUp;

  /**
   * Says what became of a question: an order of finishing, or that there is none, or neither.
   *
   * @param finishing the parts in the order they are finished, or {@code null}
   * @param refuted whether it is proven that there is none
   */
  record Answer(@Nullable List<Integer> finishing, boolean refuted) {}

  OpenPartsSearch(BitSet group, BitSet[] neighbours, BitSet open, Effort effort) {
    this.parts = group.stream().toArray();
    this.linked = new long[parts.length];
    this.effort = effort;
    long begun = 0;
    for (int p = 0; p < parts.length; p++) {
      for (int q = 0; q < parts.length; q++) {
        linked[p] |= neighbours[parts[p]].get(parts[q]) ? 1L << q : 0;
      }
      begun |= open.get(parts[p]) ? 1L << p : 0;
    }
    this.openAtFirst = begun;
    this.all = parts.length == Long.SIZE ? -1L : (1L << parts.length) - 1;
  }

  /** Asks whether at most {@code most} open parts suffice. */
  Answer ask(int most) {
    limit = most;
    gaveUp = false;
    failed.clear();
    backwards.clear();
    if (finishes(0, openAtFirst)) {
      List<Integer> finishing = new ArrayList<>(backwards);
      Collections.reverse(finishing);
      return new Answer(finishing.stream().map(p -> parts[p]).toList(), false);
    }
    return new Answer(null, !gaveUp);
  }

  private boolean finishes(long done, long opened) {
    if (done == all) {
      return true;
    }
    if (failed.contains(done)) {
      return false;
    }
    if (failed.size() >= MOST_SETS || effort.spend(UNITS_A_SET)) {
      gaveUp = true;
      return false;
    }
    for (int p = 0; p < parts.length; p++) {
      boolean free = (done >>> p & 1) == 0 && (linked[p] & ~opened) == 0;
      if (free && (opened >>> p & 1) != 0) {
        return went(p, done, opened);
      }
    }
    for (int opens = 1; opens <= limit; opens++) {
      for (int p = 0; p < parts.length; p++) {
        long after = opened | linked[p];
        boolean next = (done >>> p & 1) == 0 && Long.bitCount(after & ~opened) == opens;
        if (next && Long.bitCount(after & ~done) <= limit && went(p, done, opened)) {
          return true;
        }
        if (gaveUp) {
          return false;
        }
      }
    }
    failed.add(done);
    return false;
  }

  private boolean went(int part, long done, long opened) {
    if (finishes(done | 1L << part, opened | linked[part])) {
      backwards.add(part);
      return true;
    }
    return false;
  }
}
