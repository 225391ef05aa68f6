package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;

/**
 * Makes a packing of what is to be packed now out of patterns that packed something like it.
 *
 * <p>Between two plans of one job little changes: some sticks are cut, one is shorter than it
 * should be, a piece is to be made again. Nearly all patterns of the former plan still hold, and
 * they were found with more time than there is now. So they are kept: first each as often as pieces
 * and sticks go round; then what is left of a pattern once some of its pieces are made; then single
 * pieces go where a kept pattern has room, the fullest that takes them first; and what is left even
 * so is packed greedily. Several greedy ways are tried, the best packing is returned.
 *
 * <p>Stateless; takes about as long as a greedy packing.
 */
public final class Repair {

  private static final int[] NODE_LIMITS = {1, 60, 400};

  private static final int ROUNDS = 600;
  private static final long SEARCH_UNITS = 15_000_000;

  private final Instance instance;
  private final Remaining left;
  private final List<Packing.Use> kept = new ArrayList<>();

  /**
   * States what was cut from some sticks.
   *
   * @param type the stick type in the instance of now
   * @param items the items cut from one stick, each as often as it was cut
   * @param times from how many sticks
   */
  public record Former(int type, List<Integer> items, int times) {

    /** Copies the list. */
    public Former {
      items = List.copyOf(items);
    }
  }

  private Repair(Instance instance) {
    this.instance = instance;
    this.left = Remaining.of(instance);
  }

  /**
   * Returns a packing made of former patterns, or {@code null} where none comes out that way.
   *
   * @param instance what is to be packed now
   * @param former what was packed before, the most valued first
   * @param effort how long the packing may be bettered once it is there
   */
  public static @Nullable Packing packing(Instance instance, List<Former> former, Effort effort) {
    Repair repair = new Repair(instance);
    repair.keepClipped(repair.keepWhole(former));
    repair.insertSingles();
    Packing packing = repair.completed();
    return packing == null
        ? null
        : LocalSearch.improve(instance, packing, ROUNDS, 1, effort.part(SEARCH_UNITS));
  }

  /** Keeps what can be cut as it was; returns what cannot. */
  private List<Former> keepWhole(List<Former> former) {
    List<Former> broken = new ArrayList<>();
    for (Former some : former) {
      Pattern pattern = Pattern.of(instance, some.type(), counts(some));
      int times = Math.min(some.times(), left.repeats(pattern));
      keep(pattern, times);
      if (times < some.times()) {
        broken.add(some);
      }
    }
    return broken;
  }

  private int[] counts(Former some) {
    int[] counts = new int[instance.itemCount()];
    some.items().forEach(item -> counts[item]++);
    return counts;
  }

  /** Keeps of each broken pattern what is still wanted, once. */
  private void keepClipped(List<Former> broken) {
    for (Former some : broken) {
      if (left.sticks[some.type()] > 0) {
        int[] counts = counts(some);
        for (int i = 0; i < counts.length; i++) {
          counts[i] = Math.min(counts[i], left.pieces[i]);
        }
        keep(Pattern.of(instance, some.type(), counts), 1);
      }
    }
  }

  private void keep(Pattern pattern, int times) {
    boolean fits = instance.types().get(pattern.type).fits(pattern.fill());
    if (times > 0 && pattern.distinct() > 0 && fits) {
      left.take(pattern, times);
      kept.add(new Packing.Use(pattern, times));
    }
  }

  /** Puts pieces that are left where a kept stick has room, the least room first. */
  private void insertSingles() {
    for (int i = 0; i < left.pieces.length; i++) {
      while (left.pieces[i] > 0 && insert(i)) {
        // One piece a turn.
      }
    }
  }

  private boolean insert(int item) {
    int best = -1;
    long bestRoom = Long.MAX_VALUE;
    for (int n = 0; n < kept.size(); n++) {
      Pattern pattern = kept.get(n).pattern();
      StickType type = instance.types().get(pattern.type);
      long fill = pattern.fill() + instance.sizes[item];
      if (type.fits(fill) && type.reach() - fill < bestRoom) {
        best = n;
        bestRoom = type.reach() - fill;
      }
    }
    if (best < 0) {
      return false;
    }
    Packing.Use use = kept.get(best);
    int[] counts = new int[instance.itemCount()];
    use.pattern().addTo(counts, 1);
    counts[item]++;
    left.take(use.pattern(), -1);
    Pattern more = Pattern.of(instance, use.pattern().type, counts);
    left.take(more, 1);
    kept.add(new Packing.Use(more, 1));
    if (use.times() == 1) {
      kept.remove(best);
    } else {
      kept.set(best, new Packing.Use(use.pattern(), use.times() - 1));
    }
    return true;
  }

  private @Nullable Packing completed() {
    GreedyPacker packer = new GreedyPacker(instance, Effort.endless());
    Packing best = null;
    for (GreedyPacker.Choice choice : GreedyPacker.Choice.values()) {
      for (int nodes : NODE_LIMITS) {
        GreedyPacker.Style style = new GreedyPacker.Style(choice, nodes, true, 0);
        List<Packing.Use> rest = packer.pack(left.copy(), style, new SplittableRandom(1));
        if (rest != null) {
          List<Packing.Use> all = new ArrayList<>(kept);
          all.addAll(rest);
          Packing packing = Packing.of(instance, all);
          best = best == null || packing.compareTo(best) < 0 ? packing : best;
        }
      }
    }
    return best;
  }
}
