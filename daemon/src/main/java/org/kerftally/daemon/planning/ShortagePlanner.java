package org.kerftally.daemon.planning;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.daemon.planning.packing.Instance;
import org.kerftally.daemon.planning.packing.Packing;
import org.kerftally.daemon.planning.packing.PackingSolver;
import org.kerftally.daemon.planning.packing.StickType;

/**
 * Chooses what is made when the sticks do not suffice for all: the most pieces of the first
 * importance (priority, then due date), then of the next, and so on; then the least cost for them.
 *
 * <p>Of one importance the smallest pieces are made. That loses nothing: in any plan a piece that
 * is made can give its place to a smaller one of its importance that is not. So what can be made is
 * a number for each priority, found by halving, and a bound on the cost of the smallest pieces
 * bounds the cost of every plan that makes as many.
 *
 * <p>The exchange fails where a stick may be filled to its very end but not almost: there a smaller
 * piece may not fit. So such gaps are closed before anything is proven about a shortage.
 */
final class ShortagePlanner {

  /** The share of the whole effort that one question may take. */
  private static final long UNITS_A_QUESTION = 300_000_000;

  private final PackingSolver solver;
  private final Instance instance;
  private final List<int[]> levels;
  private final Effort effort;
  private final boolean gaps;
  private boolean proven = true;
  private final int[] made;
  private @Nullable Packing packing;

  /**
   * Says what is made and how.
   *
   * @param outcome the packing of what is made, with a safe bound on the cost of every plan that
   *     makes as many
   * @param mostProven whether it is proven that no more can be made
   */
  record Choice(PackingSolver.Outcome outcome, boolean mostProven) {}

  /**
   * Prepares.
   *
   * @param levels the demands of each importance, the first first; they sum to the instance's
   */
  ShortagePlanner(PackingSolver solver, Instance instance, List<int[]> levels, Effort effort) {
    this.solver = solver;
    this.instance = instance;
    this.levels = levels;
    this.effort = effort;
    this.made = new int[instance.itemCount()];
    this.gaps = instance.types().stream().anyMatch(type -> type.flush() > type.capacity());
  }

  Choice choose() {
    for (int[] level : levels) {
      addMost(withoutHopeless(level));
    }
    Instance chosen = instance.withDemands(made);
    Packing known = packing;
    Packing start = known == null ? null : Packing.of(chosen, known.uses());
    PackingSolver.Outcome outcome = solver.solve(chosen, start, effort);
    if (gaps) {
      long bound = solver.solve(withoutGaps(chosen), null, effort).bound();
      outcome = new PackingSolver.Outcome(outcome.packing(), Math.min(bound, outcome.bound()));
    }
    return new Choice(outcome, proven);
  }

  /** Leaves out what fits no stick at all: to that no exchange applies. */
  private int[] withoutHopeless(int[] level) {
    int[] possible = level.clone();
    for (int i = 0; i < possible.length; i++) {
      possible[i] = instance.fitsAlone(i) ? possible[i] : 0;
    }
    return possible;
  }

  /** Adds as many of one priority's pieces as can be made beside those chosen. */
  private void addMost(int[] level) {
    int all = 0;
    for (int count : level) {
      all += count;
    }
    int low = 0;
    int high = all + 1;
    int next = all;
    boolean highProven = true;
    while (high - low > 1) {
      int[] demands = made.clone();
      addSmallest(demands, level, next);
      PackingSolver.Outcome answer = ask(instance.withDemands(demands));
      if (answer.packing() != null) {
        packing = answer.packing();
        low = next;
      } else {
        high = next;
        highProven = isRefuted(answer, demands);
      }
      next = (low + high) >>> 1;
    }
    proven &= high > all || highProven;
    addSmallest(made, level, low);
  }

  private static void addSmallest(int[] demands, int[] level, int number) {
    int left = number;
    for (int i = level.length - 1; i >= 0 && left > 0; i--) {
      int taken = Math.min(left, level[i]);
      demands[i] += taken;
      left -= taken;
    }
  }

  /** Asks for any packing, whatever it costs. */
  private PackingSolver.Outcome ask(Instance question) {
    List<StickType> types = question.types().stream().map(StickType::free).toList();
    return solver.solve(question.withTypes(types), null, effort.part(UNITS_A_QUESTION));
  }

  private boolean isRefuted(PackingSolver.Outcome answer, int[] demands) {
    if (!gaps) {
      return answer.bound() == PackingSolver.Outcome.INFEASIBLE;
    }
    PackingSolver.Outcome wider = ask(withoutGaps(instance.withDemands(demands)));
    return wider.bound() == PackingSolver.Outcome.INFEASIBLE;
  }

  private static Instance withoutGaps(Instance tight) {
    return tight.withTypes(tight.types().stream().map(StickType::withoutGap).toList());
  }
}
