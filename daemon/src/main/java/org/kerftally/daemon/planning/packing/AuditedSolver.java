package org.kerftally.daemon.planning.packing;

import org.jspecify.annotations.Nullable;

/**
 * Solves as another solver does and holds every outcome against {@link Audit}.
 *
 * <p>For tests and benchmarks: it costs time of its own.
 */
public final class AuditedSolver implements PackingSolver {

  private final PackingSolver solver;

  /** Makes a solver that checks another one. */
  public AuditedSolver(PackingSolver solver) {
    this.solver = solver;
  }

  /**
   * {@inheritDoc}
   *
   * @throws IllegalStateException when the outcome is wrong
   */
  @Override
  public Outcome solve(Instance instance, @Nullable Packing start, Effort effort) {
    Outcome outcome = solver.solve(instance, start, effort);
    new Audit(instance).outcome(outcome);
    return outcome;
  }
}
