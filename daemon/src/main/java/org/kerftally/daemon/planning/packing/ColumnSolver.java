package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Packs by rules of thumb, bounds by arithmetic, and where the two do not meet goes on with column
 * generation.
 *
 * <p>The steps, each taken only while cost and bound differ and effort is left:
 *
 * <ol>
 *   <li>rules of thumb and arithmetic bounds: enough for most jobs of a shop;
 *   <li>column generation at the root: a strong safe bound and a pool of good patterns;
 *   <li>dives and local search, for better packings;
 *   <li>with one stick type, {@link PackingTree}: can the bound's number of sticks do, or one more,
 *       and so on;
 *   <li>with several, selections: the cheapest choice of sticks that no inequality known forbids is
 *       tried. Either its relaxation shows by a new safe inequality that it cannot do, or it is
 *       packed, or the tree refutes it, or it stays open and bounds the cost from below;
 *   <li>the tree over costs, which closes what selections leave.
 * </ol>
 *
 * <p>Selections are a decomposition after Benders (1962): the choice of sticks on one side, the
 * packing into them on the other. They pay where the relaxation is tight; where it is not, subset
 * rows are needed, which the tree has.
 */
public final class ColumnSolver implements PackingSolver {

  private static final int ROOT_ROUNDS = 3_000;
  private static final int DIVES = 20;

  /** With several stick types a dive takes longer, and local search comes after each. */
  private static final int DIVES_OF_SEVERAL = 10;

  private static final int SEARCH_ROUNDS = 1_500;
  private static final double ROOT_ARTIFICIAL_COST = 10;
  private static final double DIVE_NOISE = 0.5;

  /** Makes a solver. */
  public ColumnSolver() {}

  @Override
  public Outcome solve(Instance instance, @Nullable Packing start, Effort effort) {
    if (instance.pieces() == 0) {
      return new Outcome(Packing.of(instance, List.of()), 0);
    }
    if (!instance.everyPieceFits()) {
      return new Outcome(null, Outcome.INFEASIBLE);
    }
    Instance tight = ReachableSums.tighten(instance);
    Packing known = start == null ? null : Packing.of(tight, start.uses());
    return new Run(tight, known, effort).solve();
  }

  /** One call's state. */
  private static final class Run {
    private final Instance instance;
    private final Effort effort;
    private final List<Weighting> weightings = new ArrayList<>();
    private ReachableCosts costs;
    private final Set<Pattern> pool = new LinkedHashSet<>();
    private @Nullable Packing best;
    private long bound;

    Run(Instance instance, @Nullable Packing start, Effort effort) {
      this.instance = instance;
      this.best = start;
      this.effort = effort;
      this.costs = ReachableCosts.of(instance, 0);
    }

    Outcome solve() {
      weightings.addAll(ArithmeticBounds.of(instance, effort));
      raise(cheapest().cost());
      if (bound == Outcome.INFEASIBLE) {
        return new Outcome(null, bound);
      }
      offer(Heuristics.best(instance, best, bound, effort));
      costs = ReachableCosts.of(instance, Math.min(upper(), dearest()));
      raise(bound);
      Packing known = best;
      if (known != null) {
        known.uses().forEach(use -> pool.add(use.pattern()));
      }
      if (instance.types().size() == 1) {
        count();
      } else if (!isClosed()) {
        Master root = atRoot();
        search(root);
      }
      select(Selections.Patience.LITTLE);
      if (!isClosed()) {
        branch();
      }
      select(Selections.Patience.MUCH);
      return new Outcome(best, bound);
    }

    /** Finds how few sticks of the only type do, one number after another. */
    private void count() {
      StickType type = instance.types().get(0);
      long each = type.cost();
      if (!isClosed() && each > 0) {
        search(atRoot());
      }
      while (!isClosed()) {
        long sticks = each == 0 ? type.available() : (bound + each - 1) / each;
        if (sticks > type.available()) {
          raise(Outcome.INFEASIBLE);
          return;
        }
        Instance asked = instance.withTypes(List.of(type.withAvailable((int) sticks)));
        PackingTree.Verdict verdict = PackingTree.decide(asked, pool, effort);
        switch (verdict.end()) {
          case OPEN -> {
            return;
          }
          case REFUTED -> raise(each == 0 ? Outcome.INFEASIBLE : (sticks + 1) * each);
          case PACKED -> offer(Packing.of(instance, verdict.uses()));
        }
      }
    }

    private void select(Selections.Patience patience) {
      if (!isClosed()) {
        Selections.Verdict verdict =
            new Selections(instance, weightings, pool, patience, effort).close(best, bound);
        raise(verdict.bound());
        offer(verdict.packing());
      }
    }

    /** Branches on everything until the cheapest packing is proven. */
    private void branch() {
      long most = upper() == Outcome.INFEASIBLE ? dearest() : costs.atMost(upper() - 1);
      PackingTree.Verdict verdict = PackingTree.cheapest(instance, most, pool, effort);
      if (verdict.packing() != null) {
        offer(Packing.of(instance, verdict.uses()));
      }
      if (verdict.end() != PackingTree.End.OPEN) {
        raise(upper());
      }
    }

    private long dearest() {
      long sum = 0;
      for (StickType type : instance.types()) {
        sum += type.cost() * type.available();
      }
      return sum;
    }

    private Master atRoot() {
      Master lp = new Master(instance, ROOT_ARTIFICIAL_COST);
      ColumnGeneration root = new ColumnGeneration(instance, lp);
      root.addAll(pool);
      root.run(upper(), ROOT_ROUNDS, effort);
      pool.addAll(root.generated());
      raise(root.bound());
      Weighting weighting = root.weighting();
      if (weighting != null) {
        weightings.add(weighting);
        raise(weighting.refutes(instance) ? Outcome.INFEASIBLE : cheapest().cost());
      }
      return lp;
    }

    private void search(Master root) {
      int dives = instance.types().size() == 1 ? DIVES : DIVES_OF_SEVERAL;
      for (int dive = 0; dive < dives && !isClosed(); dive++) {
        double noise = dive == 0 ? 0 : DIVE_NOISE;
        offer(Diving.dive(instance, root, pool, upper(), noise, dive, effort));
        Packing known = best;
        if (known != null && !isClosed() && instance.types().size() > 1) {
          offer(LocalSearch.improve(instance, known, SEARCH_ROUNDS, dive, effort));
        }
      }
    }

    private CoveringBound.Selection cheapest() {
      return CoveringBound.cheapest(instance, weightings, upper(), effort);
    }

    private long upper() {
      Packing known = best;
      return known == null ? Outcome.INFEASIBLE : known.cost();
    }

    private void raise(long to) {
      bound = Math.max(bound, costs.atLeast(to));
    }

    private void offer(@Nullable Packing packing) {
      Packing known = best;
      if (packing != null && (known == null || packing.compareTo(known) < 0)) {
        best = packing;
      }
    }

    private boolean isClosed() {
      return bound >= upper() || effort.spent();
    }
  }
}
