package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.List;

/**
 * Finds the longest offcut that one stick of a type can leave, the sticks being fixed: one special
 * stick takes as little as can be, and halving finds how little.
 *
 * <p>Whether the others hold the rest when the special stick takes at most f is a packing question
 * without costs, put to the solver; its answers are monotone in f. A question that is neither
 * answered by a packing nor refuted counts as refused, and the bound stays where it was.
 */
final class LastOffcut {

  private final Instance instance;
  private final OffcutRule offcuts;
  private final int[] used;
  private final int special;
  private final PackingSolver solver;

  /**
   * Says what was found.
   *
   * @param packings the packings met on the way
   * @param mostNm no stick of the type leaves a longer offcut
   */
  record Answer(List<Packing> packings, long mostNm) {

    /** Copies the list. */
    Answer {
      packings = List.copyOf(packings);
    }
  }

  LastOffcut(Instance instance, OffcutRule offcuts, int[] used, int special, PackingSolver solver) {
    this.instance = instance;
    this.offcuts = offcuts;
    this.used = used;
    this.special = special;
    this.solver = solver;
  }

  Answer find(Effort effort, long unitsAQuestion) {
    Instance tight = ReachableSums.tighten(instance);
    long others = 0;
    for (int t = 0; t < used.length; t++) {
      others += (used[t] - (t == special ? 1 : 0)) * tight.types().get(t).reach();
    }
    long refuted = Math.max(smallest(), instance.totalSize() - others) - 1;
    long least = offcuts.keptNm(special, refuted + 1);
    if (least == 0) {
      return new Answer(List.of(), 0);
    }
    List<Packing> packings = new ArrayList<>();
    long refused = refuted;
    long high = highest() + 1;
    long next = refused + 1;
    while (high - refused > 1 && !effort.spent()) {
      PackingSolver.Outcome outcome =
          solver.solve(question(next), null, effort.part(unitsAQuestion));
      Packing packing = outcome.packing();
      if (packing != null) {
        Packing whole = back(packing);
        packings.add(whole);
        high = Math.min(next, leastFill(whole));
      } else {
        refuted = outcome.bound() == PackingSolver.Outcome.INFEASIBLE ? next : refuted;
        refused = next;
      }
      next = (refused + high) >>> 1;
    }
    return new Answer(packings, offcuts.keptNm(special, refuted + 1));
  }

  private long smallest() {
    long smallest = 0;
    for (int i = 0; i < instance.itemCount(); i++) {
      smallest = instance.demands[i] > 0 ? instance.sizes[i] : smallest;
    }
    return smallest;
  }

  /** Returns the largest sum that still leaves an offcut worth keeping. */
  private long highest() {
    long low = 0;
    long high = instance.types().get(special).reach() + 1;
    while (high - low > 1) {
      long middle = (low + high) >>> 1;
      if (offcuts.keptNm(special, middle) > 0) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }

  /** The sticks in use, at no cost, with one more type at the end that takes only so much. */
  private Instance question(long most) {
    List<StickType> types = new ArrayList<>();
    for (int t = 0; t < used.length; t++) {
      StickType type = instance.types().get(t);
      int number = used[t] - (t == special ? 1 : 0);
      types.add(new StickType(type.capacity(), type.flush(), number, 0, type.kind()));
    }
    types.add(new StickType(most, most, 1, 0, instance.types().get(special).kind()));
    return instance.withTypes(types);
  }

  private Packing back(Packing packing) {
    List<Packing.Use> uses = new ArrayList<>();
    for (Packing.Use use : packing.uses()) {
      int type = use.pattern().type == used.length ? special : use.pattern().type;
      uses.add(new Packing.Use(use.pattern().onType(type), use.times()));
    }
    return Packing.of(instance, uses);
  }

  private long leastFill(Packing packing) {
    return packing.uses().stream()
        .filter(use -> use.pattern().type == special)
        .mapToLong(use -> use.pattern().fill())
        .min()
        .orElse(Long.MAX_VALUE);
  }
}
