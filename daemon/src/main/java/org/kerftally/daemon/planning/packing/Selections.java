package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Closes the gap between cost and bound by trying selections of sticks, the cheapest first.
 *
 * <p>A selection says how many sticks of each type may be used. {@link CoveringBound} proposes the
 * cheapest that obeys every inequality known. Column generation that minimises the missing pieces
 * then either ends with an inequality that the selection breaks, safe whatever the doubles did, or
 * with a relaxation that packs everything, from which dives try to pack in fact.
 *
 * <p>A selection that is neither refuted nor packed stays open: the bound cannot rise above its
 * cost.
 */
final class Selections {

  private static final int ROUNDS = 800;
  private static final int MOST_SELECTIONS = 400;
  private static final int DIVES = 3;
  private static final long UNITS_OF_DIVES = 6_000_000_000L;
  private static final double NOISE = 0.5;

  private final Instance instance;
  private final List<Weighting> weightings;
  private final Set<Pattern> pool;
  private final Effort effort;
  private final Patience patience;

  /**
   * Says how long to try.
   *
   * @param open how many selections may stay open before it ends
   * @param units the work to decide one for good
   */
  record Patience(int open, long units) {

    static final Patience LITTLE = new Patience(3, 150_000_000L);
    static final Patience MUCH = new Patience(25, 4_000_000_000L);
  }

  /**
   * Says how far it came.
   *
   * @param packing a packing that was found, or {@code null}
   * @param bound a safe lower bound on cost
   */
  record Verdict(@Nullable Packing packing, long bound) {}

  Selections(
      Instance instance,
      List<Weighting> weightings,
      Set<Pattern> pool,
      Patience patience,
      Effort effort) {
    this.patience = patience;
    this.instance = instance;
    this.weightings = weightings;
    this.pool = pool;
    this.effort = effort;
  }

  /**
   * Tries selections until the bound meets the best packing, or none is left below it.
   *
   * @param known the best packing known, or {@code null}
   * @param bound a safe bound known
   */
  Verdict close(@Nullable Packing known, long bound) {
    Packing best = known;
    long proven = bound;
    List<Instance> excluded = new ArrayList<>();
    int open = 0;
    for (int n = 0; n < MOST_SELECTIONS && open < patience.open() && !effort.spent(); n++) {
      long upper = best == null ? PackingSolver.Outcome.INFEASIBLE : best.cost();
      CoveringBound.Selection selection =
          CoveringBound.cheapest(instance, weightings, excluded, upper, effort);
      if (open == 0) {
        proven = Math.max(proven, selection.cost());
      }
      Instance chosen = selection.only(instance);
      if (chosen == null || proven >= upper) {
        break;
      }
      Trial trial = attempt(chosen);
      Packing found = trial.packing();
      if (found != null) {
        best = best == null || found.compareTo(best) < 0 ? found : best;
      } else if (trial.inequality() != null) {
        weightings.add(trial.inequality());
      } else {
        excluded.add(chosen);
        open += trial.refuted() ? 0 : 1;
      }
    }
    return new Verdict(best, proven);
  }

  private record Trial(
      @Nullable Packing packing, @Nullable Weighting inequality, boolean refuted) {}

  private Trial attempt(Instance chosen) {
    Master lp = new Master(chosen, 1);
    ColumnGeneration columns = new ColumnGeneration(chosen, lp);
    columns.addAll(pool);
    columns.run(1, ROUNDS, effort);
    pool.addAll(columns.generated());
    Weighting inequality = columns.weighting();
    if (inequality != null && inequality.refutes(chosen)) {
      return new Trial(null, inequality, true);
    }
    Effort some = effort.part(UNITS_OF_DIVES);
    for (int dive = 0; dive < DIVES && !some.spent(); dive++) {
      double noise = dive == 0 ? 0 : NOISE;
      Packing packing = Diving.dive(chosen, lp, pool, 1, noise, dive, some);
      if (packing != null) {
        return new Trial(Packing.of(instance, packing.uses()), null, false);
      }
    }
    PackingTree.Verdict verdict = PackingTree.decide(chosen, pool, effort.part(patience.units()));
    return switch (verdict.end()) {
      case PACKED -> new Trial(Packing.of(instance, verdict.uses()), null, false);
      case REFUTED -> new Trial(null, null, true);
      case OPEN -> new Trial(null, null, false);
    };
  }
}
