package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Goes through every packing of a small instance that may rank before the best one known.
 *
 * <p>Stick after stick: each takes the largest piece left, in every type and with every set of
 * other pieces that fits. Sticks led by the same piece are only taken in falling order, so that no
 * packing comes twice. A branch ends where what is left must cost more, or take more sticks, than
 * the best known, or cannot keep as much. If the effort lasts to the end, nothing ranks before what
 * is held then: cost, sticks, offcuts and patterns are all proven at once, with limited sticks, odd
 * costs and flush ends as they come. For large instances it does not pay; {@link AfterBounds} says
 * what is known there.
 */
final class Exhaustion {

  private static final long UNITS_A_NODE = 60;
  private static final int MOST_PIECES = 40;
  private static final double ROUNDING = 1e-9;

  private final Instance instance;
  private final OffcutRule offcuts;
  private final Ranking ranking;
  private final Effort effort;
  private final int[] left;
  private final int[] sticks;
  private final Map<Pattern, Integer> taken = new HashMap<>();
  private final int[] counts;
  private final double leastCostASize;
  private final long longestReach;
  private final long longestNm;
  private final long costBound;
  private Packing best;
  private long sizeLeft;
  private long cost;
  private long handled;
  private long keptNm;
  private boolean complete = true;

  private Exhaustion(
      Instance instance, OffcutRule offcuts, Packing known, long costBound, Effort effort) {
    this.costBound = costBound;
    this.instance = instance;
    this.offcuts = offcuts;
    this.ranking = new Ranking(offcuts);
    this.effort = effort;
    this.best = known;
    this.left = instance.demands.clone();
    this.counts = new int[left.length];
    this.sticks = instance.types().stream().mapToInt(StickType::available).toArray();
    this.sizeLeft = instance.totalSize();
    this.longestReach = Math.max(1, instance.longestReach());
    this.longestNm = offcuts.lengthsNm().stream().mapToLong(Long::longValue).max().orElse(0);
    this.leastCostASize =
        instance.types().stream()
            .filter(type -> type.reach() > 0 && type.available() > 0)
            .mapToDouble(type -> (double) type.cost() / type.reach())
            .min()
            .orElse(0);
  }

  /**
   * Says what was found.
   *
   * @param best the best packing
   * @param complete whether none ranks before it
   */
  record Result(Packing best, boolean complete) {}

  static Result of(
      Instance instance, OffcutRule offcuts, Packing known, long costBound, Effort effort) {
    if (instance.pieces() > MOST_PIECES) {
      return new Result(known, false);
    }
    Exhaustion search = new Exhaustion(instance, offcuts, known, costBound, effort);
    search.nextStick(-1, 0, new int[0]);
    return new Result(search.best, search.complete);
  }

  private void nextStick(int previousLead, int previousType, int[] previous) {
    if (effort.spend(UNITS_A_NODE)) {
      complete = false;
    }
    if (!complete || isHopeless()) {
      return;
    }
    int lead = 0;
    while (lead < left.length && left[lead] == 0) {
      lead++;
    }
    if (lead == left.length) {
      offer();
      return;
    }
    boolean bounded = lead == previousLead;
    for (int t = 0; t < sticks.length; t++) {
      if (sticks[t] > 0 && !(bounded && t < previousType)) {
        boolean limit = bounded && t == previousType;
        counts[lead]++;
        left[lead]--;
        fill(t, lead, lead, instance.sizes[lead], limit ? previous : null);
        left[lead]++;
        counts[lead]--;
      }
    }
  }

  /** Adds pieces of an item and the smaller ones in every number that fits. */
  private void fill(int t, int lead, int item, long sum, int @Nullable [] limit) {
    StickType type = instance.types().get(t);
    if (!complete || sum > type.reach()) {
      return;
    }
    if (item == left.length) {
      if (type.fits(sum) && (limit == null || compare(counts, limit) <= 0)) {
        take(t, lead, sum);
      }
      return;
    }
    int added = 0;
    long filled = sum;
    while (true) {
      fill(t, lead, item + 1, filled, limit);
      if (left[item] == 0 || filled + instance.sizes[item] > type.reach()) {
        break;
      }
      left[item]--;
      counts[item]++;
      added++;
      filled += instance.sizes[item];
    }
    left[item] += added;
    counts[item] -= added;
    if (effort.spend(added + 1)) {
      complete = false;
    }
  }

  private static int compare(int[] one, int[] other) {
    for (int i = 0; i < one.length; i++) {
      if (one[i] != other[i]) {
        return Integer.compare(one[i], other[i]);
      }
    }
    return 0;
  }

  private void take(int t, int lead, long sum) {
    StickType type = instance.types().get(t);
    int[] cut = counts.clone();
    Pattern pattern = Pattern.of(instance, t, cut);
    long kept = offcuts.keptNm(t, sum);
    taken.merge(pattern, 1, Integer::sum);
    sticks[t]--;
    sizeLeft -= sum;
    cost += type.cost();
    handled += type.isHandled() ? 1 : 0;
    keptNm += kept;
    Arrays.fill(counts, 0);
    nextStick(lead, t, cut);
    System.arraycopy(cut, 0, counts, 0, cut.length);
    keptNm -= kept;
    handled -= type.isHandled() ? 1 : 0;
    cost -= type.cost();
    sizeLeft += sum;
    sticks[t]++;
    taken.merge(pattern, -1, Exhaustion::sumOrNone);
  }

  @SuppressWarnings("NullAway") // A merge that answers null removes the entry.
  private static Integer sumOrNone(Integer before, Integer change) {
    return before + change == 0 ? null : before + change;
  }

  /** Tells whether nothing that goes on from here can rank before the best. */
  private boolean isHopeless() {
    double least = cost + leastCostASize * sizeLeft * (1 - ROUNDING);
    if (least > best.cost() * (1 + ROUNDING) + 0.5) {
      return true;
    }
    long sticksLeft = (sizeLeft + longestReach - 1) / longestReach;
    long inSaw = 0;
    for (int t = 0; t < sticks.length; t++) {
      inSaw += instance.types().get(t).isHandled() ? 0 : sticks[t];
    }
    if (costBound < best.cost() && least < best.cost()) {
      return false;
    }
    long most = best.handled() - handled + inSaw;
    long keepable = Math.max(0, most * longestNm - offcuts.unitNm() * sizeLeft + slackNm(most));
    return handled + Math.max(0, sticksLeft - inSaw) > best.handled()
        || (handled + Math.max(0, sticksLeft - inSaw) == best.handled()
            && keptNm + keepable < offcuts.keptNm(best));
  }

  /** What sticks may end short of nothing: a flush end leaves a kerf less than none. */
  private long slackNm(long number) {
    long most = 0;
    for (int t = 0; t < sticks.length; t++) {
      long end = offcuts.remainderNm(t, instance.types().get(t).reach());
      most = Math.max(most, -end);
    }
    return most * Math.max(0, number);
  }

  private void offer() {
    List<Packing.Use> uses = new ArrayList<>();
    taken.forEach((pattern, times) -> uses.add(new Packing.Use(pattern, times)));
    Packing packing = Packing.of(instance, uses);
    if (ranking.compare(packing, best) < 0) {
      best = packing;
    }
  }
}
