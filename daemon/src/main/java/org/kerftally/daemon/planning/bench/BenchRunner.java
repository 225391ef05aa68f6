package org.kerftally.daemon.planning.bench;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.function.BooleanSupplier;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.Planner;
import org.kerftally.daemon.planning.packing.Audit;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.daemon.planning.packing.Packing;
import org.kerftally.daemon.planning.packing.PackingSolver;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.plan.CutPlan;

/**
 * Solves one case after the other in the calling thread, each within a time limit, and says how it
 * went.
 *
 * <p>Every packing is counted piece by piece here, whatever the solver says of it; a plan of a job
 * has passed its checker. What contradicts a known optimum is a fault of the row, never thrown.
 */
public final class BenchRunner {

  /** More units than any time limit lets a search use. */
  private static final long UNITS = Long.MAX_VALUE / 4;

  private final PackingSolver solver;
  private final Planner planner;
  private final LongSupplier nanos;
  private final long limitNanos;

  /**
   * Makes a runner.
   *
   * @param solver solves the packing problems
   * @param planner plans the jobs
   * @param nanos a clock in nanoseconds
   * @param limitNanos how long a case may take; then the best found counts
   */
  public BenchRunner(PackingSolver solver, Planner planner, LongSupplier nanos, long limitNanos) {
    this.solver = solver;
    this.planner = planner;
    this.nanos = nanos;
    this.limitNanos = limitNanos;
  }

  /** Solves a case. */
  public BenchRow run(BenchCase bench) {
    if (bench instanceof BenchCase.Packed packed) {
      return pack(packed);
    }
    return plan((BenchCase.Job) bench);
  }

  private BenchRow pack(BenchCase.Packed packed) {
    long from = nanos.getAsLong();
    Effort effort = new Effort(pastLimit(from), UNITS);
    PackingSolver.Outcome outcome = solver.solve(packed.instance(), null, effort);
    double seconds = (nanos.getAsLong() - from) / 1e9;
    Packing packing = outcome.packing();
    boolean impossible = outcome.bound() == PackingSolver.Outcome.INFEASIBLE;
    List<String> faults = new ArrayList<>();
    try {
      new Audit(packed.instance()).outcome(outcome);
    } catch (IllegalStateException e) {
      faults.add(String.valueOf(e.getMessage()));
    }
    long sticks = packing == null ? 0 : packing.uses().stream().mapToLong(Packing.Use::times).sum();
    return judged(
        new BenchRow(
            packed.name(),
            packed.group(),
            packed.instance().pieces(),
            sticks,
            packing == null ? null : BigDecimal.valueOf(packing.cost()),
            impossible ? null : BigDecimal.valueOf(outcome.bound()),
            packed.optimum(),
            impossible || outcome.isProven(),
            seconds,
            faults));
  }

  private BenchRow plan(BenchCase.Job job) {
    long from = nanos.getAsLong();
    CutPlan plan = planner.plan(job.request(), pastLimit(from));
    double seconds = (nanos.getAsLong() - from) / 1e9;
    List<String> faults = new ArrayList<>();
    if (job.optimum() != null && !plan.shortages().isEmpty()) {
      faults.add("parts are left out: " + plan.shortages());
    }
    return judged(
        new BenchRow(
            job.name(),
            job.group(),
            job.request().parts().stream().mapToLong(Part::quantity).sum(),
            plan.stickCount(),
            plan.cost(),
            plan.bound(),
            job.optimum(),
            plan.proven(),
            seconds,
            faults));
  }

  private BooleanSupplier pastLimit(long from) {
    return () -> nanos.getAsLong() - from > limitNanos;
  }

  /** Adds what contradicts itself or the known optimum. */
  private static BenchRow judged(BenchRow row) {
    List<String> faults = new ArrayList<>(row.faults());
    BigDecimal cost = row.cost();
    BigDecimal bound = row.bound();
    BigDecimal optimum = row.optimum();
    if (bound == null && (cost != null || optimum != null)) {
      faults.add("said to have no plan, but there is one");
    }
    if (isAbove(bound, cost)) {
      faults.add("bound above cost");
    }
    if (isAbove(bound, optimum)) {
      faults.add("bound above the known optimum");
    }
    if (isAbove(optimum, cost)) {
      faults.add("cost below the known optimum");
    }
    return new BenchRow(
        row.name(),
        row.group(),
        row.pieces(),
        row.sticks(),
        cost,
        bound,
        optimum,
        row.proven(),
        row.seconds(),
        faults);
  }

  private static boolean isAbove(@Nullable BigDecimal one, @Nullable BigDecimal other) {
    return one != null && other != null && one.compareTo(other) > 0;
  }
}
