package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Bounds what comes after cost: the fewest sticks, the most to keep as offcuts, the fewest
 * patterns.
 *
 * <p>All choices of sticks with the packing's cost that hold the pieces are listed, where they are
 * few; in most shops there is one. Of a choice the lengths are known, so the sum of all remainders
 * is, and what is kept cannot exceed it: less what sticks that keep nothing waste for certain,
 * because no sum of pieces fills them.
 *
 * <p>Patterns: each length is in one of them, so there are at least as many as sticks are needed
 * for one piece of each length (Vanderbeck 2000), and one for each type in every choice.
 */
final class AfterBounds {

  private static final int MOST_CHOICES = 500;
  private static final int MOST_STEPS = 200_000;
  private static final long PATTERN_UNITS = 3_000_000;

  private final Instance instance;
  private final Instance tight;
  private final OffcutRule offcuts;
  private final List<int[]> choices = new ArrayList<>();
  private final int[] chosen;
  private long cost;
  private int steps;
  private boolean all = true;

  AfterBounds(Instance instance, OffcutRule offcuts) {
    this.instance = instance;
    this.tight = ReachableSums.tighten(instance);
    this.offcuts = offcuts;
    this.chosen = new int[instance.types().size()];
  }

  /** Lists the choices of sticks with exactly this cost. */
  void choose(long exactCost) {
    cost = exactCost;
    choices.clear();
    steps = 0;
    all = true;
    choose(0, cost, instance.totalSize(), instance.pieces());
  }

  private void choose(int type, long costLeft, long sizeLeft, long piecesLeft) {
    if (++steps > MOST_STEPS || choices.size() > MOST_CHOICES) {
      all = false;
      return;
    }
    if (type == chosen.length) {
      if (costLeft == 0 && sizeLeft <= 0) {
        choices.add(chosen.clone());
      }
      return;
    }
    StickType sticks = tight.types().get(type);
    long most = Math.min(sticks.available(), piecesLeft);
    if (sticks.cost() > 0) {
      most = Math.min(most, costLeft / sticks.cost());
    }
    for (int n = 0; n <= most && all; n++) {
      chosen[type] = n;
      choose(type + 1, costLeft - n * sticks.cost(), sizeLeft - n * sticks.reach(), piecesLeft - n);
    }
    chosen[type] = 0;
  }

  /** Returns the fewest sticks to handle at the cost. */
  long fewestHandled() {
    if (!all || choices.isEmpty()) {
      long reach = Math.max(1, tight.longestReach());
      return Math.max(0, (instance.totalSize() + reach - 1) / reach - inSaw());
    }
    return choices.stream().mapToLong(this::handled).min().orElse(0);
  }

  private long inSaw() {
    return tight.types().stream()
        .filter(type -> !type.isHandled())
        .mapToLong(StickType::available)
        .sum();
  }

  /** Tells whether every packing of the cost with as few sticks takes just these. */
  boolean isOnlyChoice(int[] used) {
    return all
        && choices.stream()
            .filter(choice -> handled(choice) == handled(used))
            .allMatch(choice -> Arrays.equals(choice, used));
  }

  private long handled(int[] choice) {
    long handled = 0;
    for (int t = 0; t < choice.length; t++) {
      handled += instance.types().get(t).isHandled() ? choice[t] : 0;
    }
    return handled;
  }

  /**
   * Returns the most that can be kept with so many sticks handled, in nanometres.
   *
   * @param pieces in how many offcuts, or {@link Integer#MAX_VALUE} for any number
   */
  long mostKept(long handled, int pieces) {
    if (!all || choices.isEmpty()) {
      long longest = offcuts.lengthsNm().stream().mapToLong(Long::longValue).max().orElse(0);
      long each = Math.max(0, longest - offcuts.unitNm() * smallestSize());
      return Math.min(pieces, handled + inSaw()) * each;
    }
    long most = 0;
    for (int[] choice : choices) {
      if (handled(choice) == handled) {
        most = Math.max(most, mostKept(choice, pieces));
      }
    }
    return most;
  }

  private long mostKept(int[] choice, int pieces) {
    long remainders = -offcuts.unitNm() * instance.totalSize();
    long number = 0;
    long waste = Long.MAX_VALUE;
    long longest = 0;
    long shortest = offcuts.unitNm() * smallestSize();
    for (int t = 0; t < choice.length; t++) {
      if (choice[t] > 0) {
        number += choice[t];
        remainders += choice[t] * offcuts.lengthsNm().get(t);
        waste = Math.min(waste, offcuts.remainderNm(t, tight.types().get(t).reach()));
        longest = Math.max(longest, offcuts.lengthsNm().get(t) - shortest);
      }
    }
    if (number == 0) {
      return 0;
    }
    long least = Math.max(1, offcuts.leastNm());
    long most = 0;
    for (long kept = 1; kept <= Math.min(number, pieces); kept++) {
      long bound = remainders - (number - kept) * waste;
      if (bound >= kept * least) {
        most = Math.max(most, Math.min(bound, kept > MOST_STEPS ? bound : kept * longest));
      } else if (waste <= 0) {
        break;
      }
      if (kept > MOST_STEPS) {
        return Math.max(most, remainders + number * Math.max(0, -waste));
      }
    }
    return most;
  }

  private long smallestSize() {
    for (int i = instance.itemCount() - 1; i >= 0; i--) {
      if (instance.demands[i] > 0) {
        return instance.sizes[i];
      }
    }
    return 0;
  }

  /** Returns the fewest distinct patterns with so many sticks handled. */
  long fewestPatterns(long handled, PackingSolver solver, Effort effort) {
    long fewest = instance.pieces() > 0 ? 1 : 0;
    if (all && !choices.isEmpty()) {
      fewest =
          choices.stream()
              .filter(choice -> handled(choice) == handled)
              .mapToLong(choice -> Arrays.stream(choice).filter(n -> n > 0).count())
              .min()
              .orElse(fewest);
    }
    int[] once = Arrays.stream(instance.demands).map(n -> Math.min(1, n)).toArray();
    int lengths = Arrays.stream(once).sum();
    if (lengths > fewest) {
      List<StickType> types = new ArrayList<>();
      for (StickType type : instance.types()) {
        int available = type.available() > 0 ? lengths : 0;
        types.add(new StickType(type.capacity(), type.flush(), available, 1, type.kind()));
      }
      Instance one = instance.withDemands(once).withTypes(types);
      long bound = solver.solve(one, null, effort.part(PATTERN_UNITS)).bound();
      fewest = Math.max(fewest, Math.min(bound, lengths));
    }
    return fewest;
  }
}
