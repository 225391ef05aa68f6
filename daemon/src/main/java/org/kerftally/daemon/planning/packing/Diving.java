package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;

/**
 * Turns relaxations into packings: fix the whole parts of the relaxation's amounts, then the
 * largest fraction, solve the residue's relaxation, and so on down; at every level a greedy packing
 * of the residue completes what is fixed.
 *
 * <p>Without noise a dive follows the largest fractions; with noise every seed goes another way.
 */
final class Diving {

  private static final int ROUNDS_A_LEVEL = 60;
  private static final int MOST_POOL = 6_000;
  private static final double ALMOST_WHOLE = 1e-6;
  private static final int GREEDY_NODES = 400;
  private static final int NOISY_TRIES = 3;

  private final Instance instance;
  private final Set<Pattern> pool;
  private final Effort effort;
  private final SplittableRandom random;
  private final double noise;
  private final List<Packing.Use> fixed = new ArrayList<>();
  private long fixedCost;
  private long upper;
  private @Nullable Packing best;

  private Diving(
      Instance instance, Set<Pattern> pool, long upper, double noise, long seed, Effort effort) {
    this.instance = instance;
    this.pool = pool;
    this.upper = upper;
    this.noise = noise;
    this.effort = effort;
    this.random = new SplittableRandom(seed);
  }

  /**
   * Dives once.
   *
   * @param root the relaxation to start from; a copy of it goes down
   * @param pool where patterns found on the way are kept while it is not too large
   * @param upper only packings that cost less are of use
   * @return the best packing found below {@code upper}, or {@code null}
   */
  static @Nullable Packing dive(
      Instance instance,
      Master root,
      Set<Pattern> pool,
      long upper,
      double noise,
      long seed,
      Effort effort) {
    Diving diving = new Diving(instance, pool, upper, noise, seed, effort);
    diving.dive(root.copy());
    return diving.best;
  }

  private void dive(Master lp) {
    Remaining left = Remaining.of(instance);
    while (!left.isDone() && !effort.spent()) {
      complete(left);
      Instance residue = left.toInstance();
      ColumnGeneration columns = new ColumnGeneration(residue, lp);
      columns.run(upper - fixedCost, ROUNDS_A_LEVEL, effort);
      remember(columns.generated());
      boolean hopeless = columns.bound() >= upper - fixedCost || !columns.packsAll();
      if (hopeless || !fix(columns.solution(), left)) {
        return;
      }
      for (Pattern broken : lp.restrict(left)) {
        Pattern clipped = clipped(broken, left);
        if (fits(clipped)) {
          lp.add(clipped);
        }
      }
    }
    if (left.isDone()) {
      offer(List.of());
    }
  }

  private void remember(Collection<Pattern> found) {
    for (Pattern pattern : found) {
      if (pool.size() < MOST_POOL) {
        pool.add(pattern);
      }
    }
  }

  /** Returns what a pattern comes to when no item may exceed what is left. */
  private Pattern clipped(Pattern pattern, Remaining left) {
    int[] dense = new int[instance.itemCount()];
    pattern.addTo(dense, 1);
    for (int i = 0; i < dense.length; i++) {
      dense[i] = Math.min(dense[i], left.pieces[i]);
    }
    return Pattern.of(instance, pattern.type, dense);
  }

  /** Fixes whole amounts, or where there are none the largest fraction; tells whether any. */
  private boolean fix(List<Master.Amount> solution, Remaining left) {
    boolean any = false;
    Master.Amount largest = null;
    double largestScore = -1;
    for (Master.Amount amount : solution) {
      int whole = (int) Math.floor(amount.amount() + ALMOST_WHOLE);
      if (whole > 0) {
        any |= fix(amount.pattern(), whole, left);
      }
      double score = amount.amount() + noise * random.nextDouble();
      if (score > largestScore) {
        largest = amount;
        largestScore = score;
      }
    }
    if (!any && largest != null) {
      any = fix(largest.pattern(), 1, left);
    }
    return any;
  }

  private boolean fix(Pattern pattern, int times, Remaining left) {
    int possible = Math.min(times, left.repeats(pattern));
    if (possible <= 0) {
      return false;
    }
    left.take(pattern, possible);
    fixed.add(new Packing.Use(pattern, possible));
    fixedCost += possible * instance.types().get(pattern.type).cost();
    return true;
  }

  /** A clipped pattern's sum may fall between capacity and flush. */
  private boolean fits(Pattern pattern) {
    return pattern.distinct() > 0 && instance.types().get(pattern.type).fits(pattern.fill());
  }

  /** Completes what is fixed by packing the residue greedily, several ways. */
  private void complete(Remaining left) {
    GreedyPacker packer = new GreedyPacker(instance, effort);
    for (GreedyPacker.Choice choice : GreedyPacker.Choice.values()) {
      if (instance.types().size() == 1 && choice != GreedyPacker.Choice.BY_VALUE) {
        continue;
      }
      for (int n = 0; n <= NOISY_TRIES && !effort.spent(); n++) {
        GreedyPacker.Style style =
            new GreedyPacker.Style(
                choice, n == 0 ? GREEDY_NODES : GREEDY_NODES / 4, n % 2 == 0, n > 0 ? 0.3 : 0);
        List<Packing.Use> rest = packer.pack(left.copy(), style, random);
        if (rest != null) {
          offer(rest);
        }
        if (instance.types().size() == 1 && n == 1) {
          break;
        }
      }
    }
  }

  private void offer(List<Packing.Use> rest) {
    List<Packing.Use> all = new ArrayList<>(fixed);
    all.addAll(rest);
    Packing packing = Packing.of(instance, all);
    if (packing.cost() < upper) {
      upper = packing.cost();
      best = packing;
    }
  }
}
