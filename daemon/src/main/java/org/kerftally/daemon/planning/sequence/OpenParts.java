package org.kerftally.daemon.planning.sequence;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.stream.IntStream;
import org.kerftally.daemon.planning.packing.Effort;

/**
 * Orders patterns so that as few parts as can be are open at once: the minimisation of open stacks.
 *
 * <p>A part is open from the first pattern that holds it to the last. What matters is the order in
 * which parts are finished: to finish a part, every pattern that holds it must be cut, which opens
 * all its neighbours, the parts that share a pattern with it. So with the parts S finished, those
 * open while c is being finished are N[S ∪ {c}] less S, N being closed neighbourhoods, and the
 * order of the patterns follows from the order of the parts (Yanasse 1997; Chu &amp; Stuckey 2009).
 * A part whose neighbours are all open already is finished at once, which loses nothing. Parts that
 * are not linked at all are ordered group by group.
 *
 * <p>A good order comes from a rule of thumb, started at every part: finish next what opens the
 * fewest. A lower bound comes from the largest pattern and from contraction: the least number of
 * neighbours, over and over, while the part that has it is merged into one of them, the neighbour
 * with which it shares the fewest (the bound on tree width named minor-min-width, Gogate &amp;
 * Dechter 2004; open stacks are path width and one, and path width is at least tree width; arc
 * contraction in Becceneri, Yanasse &amp; Soma 2004 is the same idea). Between the two, {@link
 * OpenPartsSearch} asks for one number after the other.
 *
 * <p>Where a stick lies in the saw its patterns come first, and their parts are open from the
 * start. Deterministic. Not thread-safe.
 */
final class OpenParts {

  private static final int MOST_STARTS = 60;
  private static final long UNITS_A_STEP = 30;

  private final List<BitSet> patterns;
  private final int first;
  private final int parts;
  private final Effort effort;
  private final BitSet[] linked;
  private final BitSet begun = new BitSet();

  /**
   * Says what was found.
   *
   * @param order the patterns' indexes in the order they are cut
   * @param most the most parts open at once in that order
   * @param bound no order has fewer
   */
  record Order(List<Integer> order, int most, int bound) {

    /** Copies the list. */
    Order {
      order = List.copyOf(order);
    }
  }

  private OpenParts(List<BitSet> patterns, int first, int parts, Effort effort) {
    this.patterns = patterns;
    this.first = first;
    this.parts = parts;
    this.effort = effort;
    this.linked = new BitSet[parts];
    for (int p = 0; p < parts; p++) {
      linked[p] = new BitSet(parts);
    }
    for (BitSet pattern : patterns) {
      pattern.stream().forEach(p -> linked[p].or(pattern));
    }
    for (int n = 0; n < first; n++) {
      begun.or(patterns.get(n));
    }
  }

  /**
   * Orders patterns.
   *
   * @param patterns the parts of each pattern, numbered from 0
   * @param first how many patterns at the front stay where they are
   * @param parts how many parts there are
   */
  static Order best(List<BitSet> patterns, int first, int parts, Effort effort) {
    return new OpenParts(patterns, first, parts, effort).best();
  }

  /** Returns the most parts open at once when patterns are cut in an order. */
  static int most(List<BitSet> patterns, List<Integer> order) {
    BitSet open = new BitSet();
    int[] left = new int[patterns.stream().mapToInt(BitSet::length).max().orElse(0)];
    for (BitSet pattern : patterns) {
      pattern.stream().forEach(p -> left[p]++);
    }
    int most = 0;
    for (int n : order) {
      open.or(patterns.get(n));
      most = Math.max(most, open.cardinality());
      patterns.get(n).stream()
          .forEach(
              p -> {
                if (--left[p] == 0) {
                  open.clear(p);
                }
              });
    }
    return most;
  }

  private Order best() {
    int bound = patterns.stream().mapToInt(BitSet::cardinality).max().orElse(0);
    bound = Math.max(bound, begun.cardinality());
    List<Integer> finishing = new ArrayList<>();
    for (BitSet group : groups()) {
      Group ordered = finish(group);
      bound = Math.max(bound, ordered.bound());
      finishing.addAll(ordered.finishing());
    }
    List<Integer> order = patternOrder(finishing);
    int most = most(patterns, order);
    List<Integer> asGiven = IntStream.range(0, patterns.size()).boxed().toList();
    int given = most(patterns, asGiven);
    return given <= most
        ? new Order(asGiven, given, Math.min(bound, given))
        : new Order(order, most, Math.min(bound, most));
  }

  private record Group(List<Integer> finishing, int bound) {}

  /** Returns the parts in groups that no pattern links; those begun in the saw first, as one. */
  private List<BitSet> groups() {
    List<BitSet> groups = new ArrayList<>();
    BitSet seen = new BitSet();
    if (!begun.isEmpty()) {
      groups.add(reached((BitSet) begun.clone()));
      seen.or(groups.get(0));
    }
    for (int p = 0; p < parts; p++) {
      if (!seen.get(p)) {
        BitSet start = new BitSet();
        start.set(p);
        groups.add(reached(start));
        seen.or(groups.get(groups.size() - 1));
      }
    }
    return groups;
  }

  private BitSet reached(BitSet start) {
    int before = 0;
    while (start.cardinality() > before) {
      before = start.cardinality();
      BitSet more = (BitSet) start.clone();
      start.stream().forEach(p -> more.or(linked[p]));
      start.or(more);
    }
    return start;
  }

  private Group finish(BitSet group) {
    BitSet open = (BitSet) begun.clone();
    open.and(group);
    List<Integer> best = List.of();
    int most = Integer.MAX_VALUE;
    int starts = 0;
    for (int p = group.nextSetBit(0); p >= 0 && starts < MOST_STARTS; p = group.nextSetBit(p + 1)) {
      if (starts > 0 && effort.spend(UNITS_A_STEP * parts * parts)) {
        break;
      }
      starts++;
      List<Integer> finishing = new ArrayList<>();
      int reached = greedy(group, open, p, finishing);
      if (reached < most) {
        most = reached;
        best = finishing;
      }
    }
    int bound = Math.min(most, Math.max(open.cardinality(), contracted(group)));
    if (bound < most && group.cardinality() <= Long.SIZE) {
      OpenPartsSearch search = new OpenPartsSearch(group, linked, open, effort);
      while (bound < most && !effort.spent()) {
        OpenPartsSearch.Answer answer = search.ask(bound);
        if (answer.finishing() != null) {
          best = answer.finishing();
          most = bound;
        } else if (answer.refuted()) {
          bound++;
        } else {
          break;
        }
      }
    }
    return new Group(best, bound);
  }

  /** Finishes a part first, then always what opens the fewest; returns the most open at once. */
  private int greedy(BitSet group, BitSet openAtFirst, int start, List<Integer> finishing) {
    BitSet left = (BitSet) group.clone();
    BitSet open = (BitSet) openAtFirst.clone();
    BitSet opened = (BitSet) openAtFirst.clone();
    int most = 0;
    int next = start;
    while (next >= 0) {
      opened.or(linked[next]);
      open.or(linked[next]);
      open.and(left);
      most = Math.max(most, open.cardinality());
      left.clear(next);
      open.clear(next);
      finishing.add(next);
      next = -1;
      int fewest = Integer.MAX_VALUE;
      for (int p = left.nextSetBit(0); p >= 0; p = left.nextSetBit(p + 1)) {
        BitSet more = (BitSet) linked[p].clone();
        more.andNot(opened);
        int opens = 2 * more.cardinality() + (opened.get(p) ? 0 : 1);
        if (opens < fewest) {
          fewest = opens;
          next = p;
        }
      }
    }
    return most;
  }

  /** Returns a lower bound for a group: the largest least degree met while contracting, and one. */
  private int contracted(BitSet group) {
    BitSet left = (BitSet) group.clone();
    BitSet[] links = new BitSet[parts];
    for (int p = left.nextSetBit(0); p >= 0; p = left.nextSetBit(p + 1)) {
      links[p] = (BitSet) linked[p].clone();
      links[p].clear(p);
    }
    int bound = 0;
    while (!left.isEmpty()) {
      int least = left.nextSetBit(0);
      for (int p = least; p >= 0; p = left.nextSetBit(p + 1)) {
        least = links[p].cardinality() < links[least].cardinality() ? p : least;
      }
      bound = Math.max(bound, links[least].cardinality() + 1);
      int into = -1;
      int shared = Integer.MAX_VALUE;
      for (int p = links[least].nextSetBit(0); p >= 0; p = links[least].nextSetBit(p + 1)) {
        BitSet common = (BitSet) links[p].clone();
        common.and(links[least]);
        if (common.cardinality() < shared) {
          shared = common.cardinality();
          into = p;
        }
      }
      left.clear(least);
      for (int p = links[least].nextSetBit(0); p >= 0; p = links[least].nextSetBit(p + 1)) {
        links[p].clear(least);
        if (p != into) {
          links[p].set(into);
          links[into].set(p);
        }
      }
    }
    return bound;
  }

  private List<Integer> patternOrder(List<Integer> finishing) {
    List<Integer> order = new ArrayList<>();
    boolean[] done = new boolean[patterns.size()];
    for (int n = 0; n < first; n++) {
      order.add(n);
      done[n] = true;
    }
    for (int part : finishing) {
      for (int n = first; n < done.length; n++) {
        if (!done[n] && patterns.get(n).get(part)) {
          order.add(n);
          done[n] = true;
        }
      }
    }
    for (int n = first; n < done.length; n++) {
      if (!done[n]) {
        order.add(n);
      }
    }
    return order;
  }
}
