package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Betters what comes after cost, and says how much of it is proven: sticks handled, offcuts worth
 * keeping, the longest of them, distinct patterns, in this order, each holding those before.
 *
 * <ol>
 *   <li>Sticks: where fewer are not ruled out by arithmetic, the packing is asked for anew with a
 *       stick's handling added to its cost, too little to ever weigh more than cost.
 *   <li>Offcuts: with the sticks fixed, one special stick is to take as little as can be; halving
 *       finds the least sum with which the others hold the rest. Whatever they waste then, nobody
 *       can keep in one piece.
 *   <li>Patterns: a few are dissolved and packed anew, over and over ({@link PatternMerging}).
 *   <li>A small instance is gone through to the end ({@link Exhaustion}), which proves all four.
 * </ol>
 *
 * <p>Bounds are safe whatever was left out ({@link AfterBounds}). Nothing here ever costs more than
 * the packing given. Spent effort ends it early with what it has. Deterministic.
 */
public final class AfterCost {

  private static final int ROUNDS_A_PATTERN = 25;
  private static final long MERGING_UNITS = 15_000_000;
  private static final long EXHAUSTION_UNITS = 20_000_000;
  private static final long STICKS_UNITS = 15_000_000;
  private static final long OFFCUT_UNITS = 25_000_000;
  private static final long QUESTION_UNITS = 4_000_000;
  private static final long MOST_WEIGHT = 1L << 52;

  private final Instance instance;
  private final OffcutRule offcuts;
  private final Ranking ranking;
  private final PackingSolver solver;
  private final Effort effort;
  private final AfterBounds bounds;
  private Packing best;
  private long longestBoundNm = Long.MAX_VALUE;
  private long boundedCost;
  private long boundedHandled;

  /**
   * Says what was found.
   *
   * @param packing the best packing
   * @param costBound no packing costs less
   * @param fewestHandled no packing of its cost handles fewer sticks
   * @param mostKeptNm no packing with as few sticks keeps more
   * @param longestNm no packing with as few sticks that keeps as much keeps a longer piece
   * @param fewestPatterns no packing that is as good so far has fewer patterns
   */
  public record Result(
      Packing packing,
      long costBound,
      long fewestHandled,
      long mostKeptNm,
      long longestNm,
      int fewestPatterns) {}

  private AfterCost(
      Instance instance, OffcutRule offcuts, Packing start, PackingSolver solver, Effort effort) {
    this.instance = instance;
    this.offcuts = offcuts;
    this.ranking = new Ranking(offcuts);
    this.solver = solver;
    this.effort = effort;
    this.bounds = new AfterBounds(instance, offcuts);
    this.best = start;
  }

  /**
   * Betters a packing of an instance.
   *
   * @param costBound a safe lower bound on cost
   */
  public static Result better(
      Instance instance,
      OffcutRule offcuts,
      Packing start,
      long costBound,
      PackingSolver solver,
      Effort effort) {
    AfterCost after = new AfterCost(instance, offcuts, start, solver, effort);
    return after.run(costBound);
  }

  private Result run(long costBound) {
    bounds.choose(best.cost());
    merge(1);
    if (!effort.spent()) {
      Effort some = effort.part(MERGING_UNITS);
      int rounds = ROUNDS_A_PATTERN * best.uses().size();
      offer(LocalSearch.improve(instance, best, rounds, 1, some));
    }
    Exhaustion.Result small =
        Exhaustion.of(instance, offcuts, best, costBound, effort.part(EXHAUSTION_UNITS));
    offer(small.best());
    if (small.complete()) {
      return new Result(
          best,
          best.cost(),
          best.handled(),
          offcuts.keptNm(best),
          offcuts.longestNm(best),
          best.uses().size());
    }
    bounds.choose(best.cost());
    fewerSticks();
    longerOffcut();
    merge(2);
    bounds.choose(best.cost());
    return bounded(costBound);
  }

  private Result bounded(long costBound) {
    long fewest = Math.min(bounds.fewestHandled(), best.handled());
    long kept = offcuts.keptNm(best);
    long longest = offcuts.longestNm(best);
    long mostKept = Math.max(kept, bounds.mostKept(best.handled(), Integer.MAX_VALUE));
    long longestBound = Math.min(bounds.mostKept(best.handled(), 1), mostKept);
    if (best.cost() == boundedCost && best.handled() == boundedHandled) {
      longestBound = Math.min(longestBound, longestBoundNm);
    }
    longestBound = Math.max(longest, longestBound);
    if (bounds.mostKept(best.handled(), Integer.MAX_VALUE) < 2 * Math.max(1, offcuts.leastNm())) {
      mostKept = Math.max(kept, Math.min(mostKept, longestBound));
    }
    long patterns = best.uses().size();
    long fewestPatterns =
        effort.spent()
            ? Math.min(1, patterns)
            : Math.min(patterns, bounds.fewestPatterns(best.handled(), solver, effort));
    return new Result(best, costBound, fewest, mostKept, longestBound, (int) fewestPatterns);
  }

  private void merge(long seed) {
    Effort some = effort.part(MERGING_UNITS);
    int rounds = ROUNDS_A_PATTERN * best.uses().size();
    offer(PatternMerging.merge(instance, best, ranking, rounds, seed, some));
  }

  private void offer(@Nullable Packing packing) {
    if (packing != null && ranking.compare(packing, best) < 0) {
      best = packing;
    }
  }

  /** Asks for a packing of the same cost that handles fewer sticks. */
  private void fewerSticks() {
    long weight = best.handled() + 1;
    boolean possible =
        bounds.fewestHandled() < best.handled() && best.cost() < MOST_WEIGHT / weight;
    if (!possible || effort.spent()) {
      return;
    }
    List<StickType> types = new ArrayList<>();
    for (StickType type : instance.types()) {
      long cost = type.cost() * weight + (type.isHandled() ? 1 : 0);
      types.add(new StickType(type.capacity(), type.flush(), type.available(), cost, type.kind()));
    }
    Instance weighted = instance.withTypes(types);
    Packing start = Packing.of(weighted, best.uses());
    Packing found = solver.solve(weighted, start, effort.part(STICKS_UNITS)).packing();
    if (found != null) {
      offer(Packing.of(instance, found.uses()));
    }
  }

  /** Makes the longest offcut longer, with the sticks as they are. */
  private void longerOffcut() {
    long kept = offcuts.keptNm(best);
    boolean open =
        kept < bounds.mostKept(best.handled(), Integer.MAX_VALUE)
            || offcuts.longestNm(best) < bounds.mostKept(best.handled(), 1);
    if (!open) {
      return;
    }
    Effort some = effort.part(OFFCUT_UNITS);
    int[] used = new int[instance.types().size()];
    best.uses().forEach(use -> used[use.pattern().type] += use.times());
    boundedCost = best.cost();
    boundedHandled = best.handled();
    boolean only = bounds.isOnlyChoice(used);
    long most = 0;
    int tried = 0;
    while (tried < used.length && !some.spent()) {
      if (used[tried] > 0) {
        most = Math.max(most, longerOffcut(used, tried, some));
      }
      tried++;
    }
    if (only && tried == used.length) {
      longestBoundNm = most;
    }
  }

  /** Returns a bound on the longest offcut from a type, and offers the packings met. */
  private long longerOffcut(int[] used, int special, Effort some) {
    LastOffcut last = new LastOffcut(instance, offcuts, used, special, solver);
    LastOffcut.Answer answer = last.find(some, QUESTION_UNITS);
    answer.packings().forEach(this::offer);
    return answer.mostNm();
  }
}
