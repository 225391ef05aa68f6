package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.kerftally.shared.stock.StickKind;

/**
 * Holds a complete packing: every demand met exactly, no stick used more often than it is there.
 *
 * <p>Packings compare by what the shop minimises, in order: cost, sticks handled, distinct
 * patterns; then more offcuts used up, then the longest single leftover. The smaller is the better.
 */
public final class Packing implements Comparable<Packing> {

  private static final Comparator<Packing> ORDER =
      Comparator.comparingLong(Packing::cost)
          .thenComparingLong(Packing::handled)
          .thenComparingInt(packing -> packing.uses.size())
          .thenComparing(Comparator.comparingLong(Packing::offcuts).reversed())
          .thenComparing(Comparator.comparingLong(Packing::longestLeftover).reversed());

  private final List<Use> uses;
  private final long cost;
  private final long handled;
  private final long offcuts;
  private final long longestLeftover;

  /**
   * Says how often a pattern is cut.
   *
   * @param pattern the pattern
   * @param times how often, at least 1
   */
  public record Use(Pattern pattern, int times) {}

  private Packing(Instance instance, List<Use> uses) {
    this.uses = uses;
    long costs = 0;
    long sticks = 0;
    long kept = 0;
    long leftover = 0;
    for (Use use : uses) {
      StickType type = instance.types().get(use.pattern().type);
      costs += type.cost() * use.times();
      sticks += type.isHandled() ? use.times() : 0;
      kept += type.kind() == StickKind.OFFCUT ? use.times() : 0;
      leftover = Math.max(leftover, type.reach() - use.pattern().fill());
    }
    this.cost = costs;
    this.handled = sticks;
    this.offcuts = kept;
    this.longestLeftover = leftover;
  }

  /**
   * Makes a packing, with equal patterns merged.
   *
   * @throws IllegalStateException when the uses are no complete packing of the instance
   */
  public static Packing of(Instance instance, Collection<Use> parts) {
    Map<Pattern, Integer> merged = new LinkedHashMap<>();
    for (Use use : parts) {
      merged.merge(use.pattern(), use.times(), Integer::sum);
    }
    int[] made = new int[instance.itemCount()];
    int[] taken = new int[instance.types().size()];
    List<Use> uses = new ArrayList<>();
    merged.forEach(
        (pattern, times) -> {
          pattern.addTo(made, times);
          taken[pattern.type] += times;
          if (!instance.types().get(pattern.type).fits(pattern.fill())) {
            throw new IllegalStateException("does not fit: " + pattern);
          }
          uses.add(new Use(pattern, times));
        });
    for (int i = 0; i < made.length; i++) {
      if (made[i] != instance.demands[i]) {
        throw new IllegalStateException(
            "item " + i + ": " + made[i] + " packed, " + instance.demands[i] + " wanted");
      }
    }
    for (int t = 0; t < taken.length; t++) {
      if (taken[t] > instance.types().get(t).available()) {
        throw new IllegalStateException("stick type " + t + " used " + taken[t] + " times");
      }
    }
    return new Packing(instance, List.copyOf(uses));
  }

  /** Returns the patterns, each once, with how often it is cut. */
  public List<Use> uses() {
    return uses;
  }

  /** Returns how many of each item of an instance are cut. */
  public int[] made(Instance instance) {
    int[] made = new int[instance.itemCount()];
    uses.forEach(use -> use.pattern().addTo(made, use.times()));
    return made;
  }

  /** Returns the sum of the sticks' costs. */
  public long cost() {
    return cost;
  }

  /** Returns how many sticks are taken from the rack. */
  public long handled() {
    return handled;
  }

  long offcuts() {
    return offcuts;
  }

  private long longestLeftover() {
    return longestLeftover;
  }

  @Override
  public int compareTo(Packing other) {
    return ORDER.compare(this, other);
  }
}
