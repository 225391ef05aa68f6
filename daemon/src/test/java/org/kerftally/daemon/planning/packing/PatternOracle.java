package org.kerftally.daemon.planning.packing;

import com.google.ortools.Loader;
import com.google.ortools.linearsolver.MPConstraint;
import com.google.ortools.linearsolver.MPSolver;
import com.google.ortools.linearsolver.MPVariable;
import com.google.ortools.sat.CpModel;
import com.google.ortools.sat.CpSolver;
import com.google.ortools.sat.CpSolverStatus;
import com.google.ortools.sat.IntVar;
import com.google.ortools.sat.LinearExpr;
import com.google.ortools.sat.LinearExprBuilder;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * States a cutting problem over all its patterns for solvers that are not ours: GLOP for the linear
 * relaxation, CP-SAT for the optimum, both of OR-Tools.
 *
 * @param demands by item
 * @param kinds the kinds of sticks
 */
public record PatternOracle(List<Integer> demands, List<Kind> kinds) {

  private static final double MOST_SECONDS = 120;

  /** One kind of stick with all that can be cut from one, as counts by item. */
  public record Kind(long cost, long available, List<List<Integer>> patterns) {}

  /** States an instance. */
  static PatternOracle of(Instance instance) {
    List<Kind> kinds = new ArrayList<>();
    for (StickType type : instance.types()) {
      List<List<Integer>> patterns = SmallInstances.patterns(instance, type);
      long available = Math.min(type.available(), instance.pieces());
      kinds.add(new Kind(type.cost(), available, patterns));
    }
    return new PatternOracle(Arrays.stream(instance.demands).boxed().toList(), kinds);
  }

  /** Returns the value of the linear relaxation, or not a number where it has no solution. */
  public double relaxation() {
    Loader.loadNativeLibraries();
    MPSolver solver = MPSolver.createSolver("GLOP");
    double any = MPSolver.infinity();
    MPConstraint[] wanted = new MPConstraint[demands.size()];
    for (int i = 0; i < demands.size(); i++) {
      wanted[i] = solver.makeConstraint(demands.get(i), any);
    }
    for (Kind kind : kinds) {
      MPConstraint there = solver.makeConstraint(0, (double) kind.available());
      for (List<Integer> pattern : kind.patterns()) {
        MPVariable times = solver.makeNumVar(0, any, "");
        solver.objective().setCoefficient(times, (double) kind.cost());
        there.setCoefficient(times, 1);
        for (int i = 0; i < demands.size(); i++) {
          wanted[i].setCoefficient(times, pattern.get(i));
        }
      }
    }
    solver.objective().setMinimization();
    boolean optimal = solver.solve() == MPSolver.ResultStatus.OPTIMAL;
    return optimal ? solver.objective().value() : Double.NaN;
  }

  /** Returns the least cost, or infeasible. */
  public long optimum() {
    Loader.loadNativeLibraries();
    CpModel model = new CpModel();
    LinearExprBuilder[] made = new LinearExprBuilder[demands.size()];
    for (int i = 0; i < demands.size(); i++) {
      made[i] = LinearExpr.newBuilder();
    }
    LinearExprBuilder cost = LinearExpr.newBuilder();
    for (Kind kind : kinds) {
      LinearExprBuilder taken = LinearExpr.newBuilder();
      for (List<Integer> pattern : kind.patterns()) {
        IntVar times = model.newIntVar(0, kind.available(), "");
        cost.addTerm(times, kind.cost());
        taken.add(times);
        for (int i = 0; i < demands.size(); i++) {
          made[i].addTerm(times, pattern.get(i));
        }
      }
      model.addLessOrEqual(taken, kind.available());
    }
    for (int i = 0; i < demands.size(); i++) {
      model.addEquality(made[i], demands.get(i));
    }
    model.minimize(cost);
    CpSolver solver = new CpSolver();
    solver.getParameters().setNumWorkers(1).setMaxTimeInSeconds(MOST_SECONDS);
    CpSolverStatus status = solver.solve(model);
    if (status == CpSolverStatus.INFEASIBLE) {
      return PackingSolver.Outcome.INFEASIBLE;
    }
    if (status != CpSolverStatus.OPTIMAL) {
      throw new IllegalStateException("the oracle came to no end: " + status);
    }
    return Math.round(solver.objectiveValue());
  }
}
