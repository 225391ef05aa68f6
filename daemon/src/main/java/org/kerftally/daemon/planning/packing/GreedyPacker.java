package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;

/**
 * Packs stick after stick: the largest piece left leads, each stick type proposes its fullest
 * pattern, the best proposal is taken.
 *
 * <p>With a node limit of 1 and one stick type this is first fit decreasing; with more it is
 * minimum bin slack. Noise makes every run another one. Reusable; not thread-safe.
 */
final class GreedyPacker {

  /** How a stick type is chosen for the next pattern. */
  enum Choice {
    /** The least cost for the length it fills. */
    BY_VALUE,
    /** The least cost for the length filled and the length wasted, waste at the price of use. */
    BY_WASTE,
    /** The longest that still takes the lead piece. */
    LONGEST,
    /** The shortest that takes the lead piece. */
    SHORTEST
  }

  /**
   * How to pack.
   *
   * @param choice how a stick type is chosen
   * @param nodeLimit how many patterns to look at for each stick and type
   * @param repeat whether a pattern is cut as often as it goes, or once before the next is sought
   * @param noise 0 for none; else the relative spread put on every proposal
   */
  record Style(Choice choice, int nodeLimit, boolean repeat, double noise) {}

  private static final int UNITS_A_NODE = 20;

  private final Instance instance;
  private final FillSearch fills;
  private final Effort effort;

  GreedyPacker(Instance instance, Effort effort) {
    this.instance = instance;
    this.fills = new FillSearch(instance);
    this.effort = effort;
  }

  /**
   * Packs all that is left, unless the effort is spent on the way.
   *
   * @param left what is left; used up as far as the packing goes
   * @return the patterns, or {@code null} when something was left over or the effort is spent
   */
  @Nullable List<Packing.Use> pack(Remaining left, Style style, SplittableRandom random) {
    List<Packing.Use> uses = new ArrayList<>();
    while (!left.isDone()) {
      if (effort.spent()) {
        return null;
      }
      Pattern pattern = lastStick(left);
      if (pattern == null) {
        pattern = next(left, style, random);
      }
      if (pattern == null) {
        return null;
      }
      int times = style.repeat() ? left.repeats(pattern) : 1;
      left.take(pattern, times);
      uses.add(new Packing.Use(pattern, times));
    }
    return uses;
  }

  /** Returns the cheapest stick that takes everything left, if one does. */
  private @Nullable Pattern lastStick(Remaining left) {
    int best = -1;
    List<StickType> types = instance.types();
    for (int t = 0; t < types.size(); t++) {
      StickType type = types.get(t);
      if (left.sticks[t] > 0 && type.fits(left.totalSize())) {
        if (best < 0 || isCheaper(type, types.get(best))) {
          best = t;
        }
      }
    }
    return best < 0 ? null : Pattern.of(instance, best, left.pieces);
  }

  private static boolean isCheaper(StickType one, StickType other) {
    if (one.cost() != other.cost()) {
      return one.cost() < other.cost();
    }
    int kinds = other.kind().compareTo(one.kind());
    return one.kind() == other.kind() ? one.reach() < other.reach() : kinds < 0;
  }

  private @Nullable Pattern next(Remaining left, Style style, SplittableRandom random) {
    int lead = left.largest();
    Pattern best = null;
    double bestScore = Double.POSITIVE_INFINITY;
    for (int t = 0; t < left.sticks.length; t++) {
      if (left.sticks[t] == 0) {
        continue;
      }
      Pattern pattern = fills.fullest(left.pieces, t, lead, style.nodeLimit());
      effort.spend((long) UNITS_A_NODE * style.nodeLimit());
      if (pattern == null) {
        continue;
      }
      double score = score(instance.types().get(t), pattern, style.choice());
      if (style.noise() > 0) {
        score *= 1 + style.noise() * random.nextDouble();
      }
      if (best == null || score < bestScore) {
        best = pattern;
        bestScore = score;
      }
    }
    return best;
  }

  private static double score(StickType type, Pattern pattern, Choice choice) {
    double fill = pattern.fill();
    return switch (choice) {
      case BY_VALUE -> type.cost() / fill;
      case BY_WASTE -> (type.cost() + 1.0) * type.reach() / (fill * fill);
      case LONGEST -> 1.0 / (1 + type.reach());
      case SHORTEST -> type.reach();
    };
  }
}
