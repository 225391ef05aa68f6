package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Runs the column generation of Gilmore and Gomory (1961, 1963) on one instance: solve the
 * relaxation over the patterns known, price new ones by its duals, until none is worth adding.
 *
 * <p>Every pricing also gives a bound by {@link DualBound}; the best is kept. Duals are smoothed
 * towards those of the best bound (Wentges 1997), which saves rounds; where smoothing finds nothing
 * new the plain duals decide. The master's exchanges end before the optimum is claimed; with
 * several stick types also before stopping early, since there they may cost the bound a unit.
 */
final class ColumnGeneration {

  private static final double SMOOTHING = 0.4;
  private static final double LEAST_GAIN = 1e-7;
  private static final double NOTHING_MISSING = 1e-6;
  private static final double DEAREST_ARTIFICIAL = 1e6;
  private static final double DEARER = 30;

  private final Instance instance;
  private final Pricer pricer;
  private final Master lp;
  private final double costUnit;
  private final boolean costsMatter;
  private final List<Pattern> generated = new ArrayList<>();
  private double[] centre;
  private long bound;
  private @Nullable Weighting weighting;
  private boolean optimal;

  /**
   * Starts from a relaxation as it stands.
   *
   * @param lp the relaxation of just this instance
   */
  ColumnGeneration(Instance instance, Master lp) {
    this.instance = instance;
    this.pricer = Pricer.of(instance);
    this.lp = lp;
    this.costUnit = Master.costUnit(instance);
    this.costsMatter = instance.types().stream().anyMatch(type -> type.cost() > 0);
    this.centre = new double[instance.itemCount()];
  }

  /** Adds those of the patterns that can be cut whole. */
  void addAll(Collection<Pattern> patterns) {
    Remaining all = Remaining.of(instance);
    for (Pattern pattern : patterns) {
      if (all.repeats(pattern) > 0) {
        lp.add(pattern);
      }
    }
  }

  /**
   * Goes on until the relaxation is solved, the bound is good enough or has caught up with the
   * relaxation's value rounded up, the rounds are used up, or the effort is spent.
   *
   * @param enough a bound that needs no bettering
   */
  void run(long enough, int rounds, Effort effort) {
    generate(enough, rounds, effort);
    if (lp.endExchanges() && !effort.spent()) {
      lp.solve(effort);
    }
  }

  private void generate(long enough, int rounds, Effort effort) {
    for (int round = 0; round < rounds; round++) {
      if (!lp.solve(effort)) {
        return;
      }
      double[] plain = duals();
      boolean added = price(smoothed(plain), plain, effort);
      if (!added && round > 0) {
        added = price(plain, plain, effort);
      }
      if (!added && lp.missing() > NOTHING_MISSING && dearer()) {
        added = true;
      }
      optimal = !added;
      boolean caughtUp =
          costsMatter
              && lp.missing() < NOTHING_MISSING
              && bound >= Math.ceil(lp.value() - NOTHING_MISSING);
      if (bound >= enough || effort.spent() || (caughtUp && instance.types().size() == 1)) {
        return;
      }
      if (optimal || caughtUp) {
        if (!lp.endExchanges()) {
          return;
        }
        optimal = false;
      }
    }
  }

  private boolean dearer() {
    if (!costsMatter || lp.artificialCost() >= DEAREST_ARTIFICIAL) {
      return false;
    }
    lp.raiseArtificialCost(DEARER);
    return true;
  }

  private double[] duals() {
    double[] duals = new double[instance.itemCount()];
    for (int i = 0; i < duals.length; i++) {
      duals[i] = lp.itemDual(i);
    }
    return duals;
  }

  private double[] smoothed(double[] plain) {
    double[] smoothed = new double[plain.length];
    for (int i = 0; i < plain.length; i++) {
      smoothed[i] = SMOOTHING * centre[i] + (1 - SMOOTHING) * plain[i];
    }
    return smoothed;
  }

  /** Prices by some duals, adds what is worth it by the plain ones; tells whether anything was. */
  private boolean price(double[] duals, double[] plain, Effort effort) {
    DualBound dual = DualBound.of(instance, duals);
    Pricer.Priced priced = pricer.price(dual.weights(), dual.costs(), effort);
    long found = dual.cost(priced.carried());
    Weighting inequality = dual.weighting(priced.carried());
    if (found > bound || weighting == null || inequality.refutes(instance)) {
      bound = Math.max(bound, found);
      weighting = inequality;
      centre = duals;
    }
    boolean added = false;
    for (Pattern pattern : priced.patterns()) {
      if (gain(pattern, plain) > LEAST_GAIN * costUnit && lp.add(pattern)) {
        generated.add(pattern);
        added = true;
      }
    }
    return added;
  }

  private double gain(Pattern pattern, double[] duals) {
    double gain = -instance.types().get(pattern.type).cost() - lp.typeWorth(pattern.type);
    for (int n = 0; n < pattern.items.length; n++) {
      gain += duals[pattern.items[n]] * pattern.counts[n];
    }
    return gain;
  }

  /** Returns the best safe bound on cost so far. */
  long bound() {
    return bound;
  }

  /** Returns the covering inequality that bounded best so far, or {@code null} before any. */
  @Nullable Weighting weighting() {
    return weighting;
  }

  /** Returns the patterns that pricing found. */
  List<Pattern> generated() {
    return generated;
  }

  /** Tells whether the relaxation was solved to its optimum, as far as doubles can tell. */
  boolean isOptimal() {
    return optimal;
  }

  /** Tells whether the relaxation as it stands packs everything, as far as doubles can tell. */
  boolean packsAll() {
    return lp.missing() < NOTHING_MISSING;
  }

  /** Returns the relaxation's value, as far as doubles can tell. */
  double value() {
    return lp.value();
  }

  List<Master.Amount> solution() {
    return lp.solution();
  }
}
