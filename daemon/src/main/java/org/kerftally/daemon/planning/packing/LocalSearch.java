package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;

/**
 * Betters a packing by dissolving a few sticks at a time and packing their pieces anew, with every
 * stick that lies unused at hand too.
 *
 * <p>A new packing of the pieces is taken when it costs less, or as much with its sticks more
 * unevenly filled: full sticks and empty ones are what the next round can use.
 */
final class LocalSearch {

  private static final int FEWEST = 2;
  private static final int MOST = 5;
  private static final GreedyPacker.Choice[] CHOICES = GreedyPacker.Choice.values();
  private static final int NODE_LIMIT = 120;
  private static final double NOISE = 0.6;
  private static final long UNITS_A_ROUND = 1_000;

  private final Instance instance;
  private final GreedyPacker packer;
  private final SplittableRandom random;
  private final List<Pattern> patterns = new ArrayList<>();
  private final List<Integer> times = new ArrayList<>();
  private final int[] unused;

  private LocalSearch(Instance instance, Packing start, long seed, Effort effort) {
    this.instance = instance;
    this.packer = new GreedyPacker(instance, effort);
    this.random = new SplittableRandom(seed);
    this.unused = instance.types().stream().mapToInt(StickType::available).toArray();
    for (Packing.Use use : start.uses()) {
      patterns.add(use.pattern());
      times.add(use.times());
      unused[use.pattern().type] -= use.times();
    }
  }

  /** Returns the packing bettered in so many rounds, or the packing itself. */
  static Packing improve(Instance instance, Packing start, int rounds, long seed, Effort effort) {
    if (start.uses().isEmpty()) {
      return start;
    }
    LocalSearch search = new LocalSearch(instance, start, seed, effort);
    for (int round = 0; round < rounds && !effort.spend(UNITS_A_ROUND); round++) {
      search.round();
    }
    search.useCheaperSticks();
    Packing found = search.packing();
    return found.compareTo(start) < 0 ? found : start;
  }

  private void round() {
    Map<Pattern, Integer> chosen = new LinkedHashMap<>();
    int sticks = random.nextInt(FEWEST, MOST + 1);
    for (int n = 0; n < sticks; n++) {
      int at = random.nextInt(patterns.size());
      int rival = random.nextInt(patterns.size());
      if (waste(patterns.get(rival)) > waste(patterns.get(at))) {
        at = rival;
      }
      Pattern pattern = patterns.get(at);
      if (chosen.getOrDefault(pattern, 0) < times.get(at)) {
        chosen.merge(pattern, 1, Integer::sum);
      }
    }
    Remaining left = Remaining.empty(instance, unused);
    chosen.forEach((pattern, count) -> left.take(pattern, -count));
    GreedyPacker.Style style =
        new GreedyPacker.Style(
            CHOICES[random.nextInt(CHOICES.length)], NODE_LIMIT, false, NOISE * random.nextInt(2));
    List<Packing.Use> found = packer.pack(left, style, random);
    if (found != null) {
      List<Packing.Use> old = new ArrayList<>();
      chosen.forEach((pattern, count) -> old.add(new Packing.Use(pattern, count)));
      if (isBetter(found, old)) {
        old.forEach(use -> change(use.pattern(), -use.times()));
        found.forEach(use -> change(use.pattern(), use.times()));
      }
    }
  }

  private long waste(Pattern pattern) {
    return instance.types().get(pattern.type).reach() - pattern.fill();
  }

  private boolean isBetter(List<Packing.Use> found, List<Packing.Use> old) {
    long costs = cost(found) - cost(old);
    if (costs != 0) {
      return costs < 0;
    }
    long sticks = handled(found) - handled(old);
    return sticks == 0 ? unevenness(found) > unevenness(old) : sticks < 0;
  }

  private long cost(List<Packing.Use> uses) {
    return uses.stream().mapToLong(use -> type(use).cost() * use.times()).sum();
  }

  private long handled(List<Packing.Use> uses) {
    return uses.stream().mapToLong(use -> type(use).isHandled() ? use.times() : 0).sum();
  }

  private static double unevenness(List<Packing.Use> uses) {
    double sum = 0;
    for (Packing.Use use : uses) {
      sum += (double) use.pattern().fill() * use.pattern().fill() * use.times();
    }
    return sum;
  }

  private StickType type(Packing.Use use) {
    return instance.types().get(use.pattern().type);
  }

  private void change(Pattern pattern, int by) {
    unused[pattern.type] -= by;
    int at = patterns.indexOf(pattern);
    if (at < 0) {
      patterns.add(pattern);
      times.add(by);
    } else if (times.get(at) + by > 0) {
      times.set(at, times.get(at) + by);
    } else {
      int last = patterns.size() - 1;
      patterns.set(at, patterns.get(last));
      times.set(at, times.get(last));
      patterns.remove(last);
      times.remove(last);
    }
  }

  /** Moves every pattern that fits a cheaper unused stick onto it. */
  private void useCheaperSticks() {
    for (Pattern pattern : List.copyOf(patterns)) {
      for (int t = 0; t < unused.length; t++) {
        StickType cheaper = instance.types().get(t);
        int at = patterns.indexOf(pattern);
        if (at >= 0
            && unused[t] > 0
            && cheaper.cost() < instance.types().get(pattern.type).cost()
            && cheaper.fits(pattern.fill())) {
          int moved = Math.min(unused[t], times.get(at));
          change(pattern, -moved);
          change(pattern.onType(t), moved);
        }
      }
    }
  }

  private Packing packing() {
    List<Packing.Use> uses = new ArrayList<>();
    for (int n = 0; n < patterns.size(); n++) {
      uses.add(new Packing.Use(patterns.get(n), times.get(n)));
    }
    return Packing.of(instance, uses);
  }
}
