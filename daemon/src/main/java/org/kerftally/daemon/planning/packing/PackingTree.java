package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;

/**
 * Decides a {@link Question} for good: branch and price with subset rows.
 *
 * <p>Every node is a relaxation by columns over {@link Blocks}. Pricing stops as soon as the
 * relaxation, in parts of sticks, does what is asked: then no bound could close the node, and it is
 * packed by rounding or branched on. Else it goes on until the duals, taken as whole numbers,
 * refute the node. Where costs matter the tree branches on the numbers of sticks first; then, and
 * else at once, on pairs of blocks, the joined ones first.
 *
 * <p>At the root the relaxation may be solved to its end: its duals then limit every pattern of the
 * tree, which pays where little is to spare.
 *
 * <p>Sources: Ryan and Foster (1981) for pairs; Vance (1998) and Belov and Scheithauer (2006) for
 * branch and price on cutting stock; Jepsen et al. (2008) for subset rows; da Silva and Schouery,
 * "Solving cutting stock problems via an extended Ryan-Foster branching scheme and fast column
 * generation" (2023), for joining pairs where demands exceed one and for limits on waste.
 */
final class PackingTree {

  private static final double WHOLE = 1e-6;
  private static final int MOST_ROUNDS = 2_000;
  private static final int MOST_PATTERNS = 6_000;
  private static final int MOST_DEPTH = 600;
  private static final int CUT_ROUNDS_AT_ROOT = 30;

  /** Pairs of items are held in a square: more would take too much memory, and hopeless time. */
  private static final int MOST_ITEMS = 1_500;

  private static final int NODES_BEFORE_LIMIT = 60;

  /** What came of it. */
  enum End {
    PACKED,
    REFUTED,
    OPEN
  }

  private final Instance instance;
  private final Question question;
  private final Effort effort;
  private final long wasteLimit;
  private final SplittableRandom random = new SplittableRandom(1);
  private BlockPricer.@Nullable Limit limit;
  private @Nullable Packing packing;
  private long nodes;
  private long mostNodes = Long.MAX_VALUE;

  private PackingTree(Instance instance, Question question, Effort effort) {
    this.instance = instance;
    this.question = question;
    this.effort = effort;
    this.wasteLimit = question.costsMatter() ? instance.longestReach() : slack(instance);
  }

  /** Returns how much longer all sticks are than all pieces; the largest number if too much. */
  private static long slack(Instance instance) {
    long slack = -instance.totalSize();
    for (StickType type : instance.types()) {
      long reach = type.reach();
      int sticks = type.available();
      if (sticks > 0 && reach > (Long.MAX_VALUE - Math.max(0, slack)) / sticks) {
        return Long.MAX_VALUE;
      }
      slack += reach * sticks;
    }
    return slack;
  }

  /**
   * Says what came of it.
   *
   * @param end PACKED where a packing was found and, where costs matter, none is cheaper; REFUTED
   *     where there is none that answers the question; OPEN where the effort was spent before, or
   *     there are too many items to hold pairs of
   * @param packing the best packing found, or {@code null}
   */
  record Verdict(End end, @Nullable Packing packing) {

    /** Returns what is cut; nothing where nothing was found. */
    List<Packing.Use> uses() {
      return packing == null ? List.of() : packing.uses();
    }
  }

  /** Decides whether all pieces go into the sticks there are, whatever they cost. */
  static Verdict decide(Instance instance, Collection<Pattern> pool, Effort effort) {
    return new PackingTree(instance, Question.doTheyFit(instance), effort).decide(pool);
  }

  /** Finds the cheapest packing that costs at most so much. */
  static Verdict cheapest(
      Instance instance, long mostCost, Collection<Pattern> pool, Effort effort) {
    return new PackingTree(instance, Question.within(instance, mostCost), effort).decide(pool);
  }

  private Verdict decide(Collection<Pattern> pool) {
    if (wasteLimit < 0) {
      return new Verdict(End.REFUTED, null);
    }
    if (instance.itemCount() > MOST_ITEMS) {
      return new Verdict(End.OPEN, null);
    }
    NodeLp root = new NodeLp(Blocks.of(instance), question);
    for (Pattern pattern : pool) {
      addTo(root, pattern);
    }
    End end = relax(root, 0);
    if (end == End.PACKED) {
      mostNodes = NODES_BEFORE_LIMIT;
      end = explore(root.copy(), 0);
    }
    if (end == End.OPEN && !effort.spent()) {
      mostNodes = Long.MAX_VALUE;
      end = limitPatterns(root) ? explore(root, 0) : End.REFUTED;
    }
    if (packing != null && end == End.REFUTED) {
      end = End.PACKED;
    }
    return new Verdict(end, packing);
  }

  private void addTo(NodeLp root, Pattern pattern) {
    StickType type = instance.types().get(pattern.type);
    BlockPattern blocks = new BlockPattern(pattern.type, pattern.items, pattern.counts);
    if (type.available() > 0
        && type.reach() - pattern.fill() <= wasteLimit
        && root.blocks().allows(blocks.blocks(), blocks.counts())) {
      root.add(blocks);
    }
  }

  private End explore(NodeLp node, int from) {
    int depth = from;
    while (true) {
      nodes++;
      End end = relax(node, depth);
      if (end != End.PACKED) {
        return end;
      }
      if (round(node)) {
        if (!question.costsMatter()) {
          return End.PACKED;
        }
        if (!node.suffices()) {
          continue;
        }
      }
      if (depth >= MOST_DEPTH || nodes >= mostNodes) {
        return End.OPEN;
      }
      Branching branching = Branching.of(node);
      if (branching == null) {
        return End.OPEN;
      }
      NodeLp first = node.copy();
      branching.goFirst(first);
      End firstEnd = explore(first, depth + 1);
      if (firstEnd != End.REFUTED) {
        return firstEnd;
      }
      branching.goSecond(node);
      depth++;
    }
  }

  /** Solves the root to its end and keeps the limit that follows; false when that refutes it. */
  private boolean limitPatterns(NodeLp root) {
    BlockPricer pricer = new BlockPricer(root.blocks(), wasteLimit, null);
    for (int round = 0; round < MOST_ROUNDS && root.solve(effort); round++) {
      NodePrices prices = new NodePrices(root);
      BlockPricer.Priced priced = price(pricer, prices, root);
      if (prices.refute(priced.carried())) {
        return false;
      }
      if (!addAll(priced, root)) {
        if (root.missing() > WHOLE && root.dearer()) {
          continue;
        }
        limit = prices.limit(priced.carried());
        return true;
      }
    }
    return true;
  }

  private BlockPricer.Priced price(BlockPricer pricer, NodePrices prices, NodeLp node) {
    int most = 20 + node.blocks().count() / 5;
    return pricer.price(prices.blocks(), prices.penalties(), prices.bars(), most, effort);
  }

  private static boolean addAll(BlockPricer.Priced priced, NodeLp node) {
    boolean added = false;
    for (BlockPattern pattern : priced.patterns()) {
      added |= node.most(pattern.type()) > 0 && node.add(pattern);
    }
    if (added) {
      node.forget(MOST_PATTERNS);
    }
    return added;
  }

  /** Prices until the node is refuted or its relaxation does what is asked (PACKED, in parts). */
  private End relax(NodeLp node, int depth) {
    BlockPricer pricer = null;
    int cutRounds = depth == 0 && limit != null ? CUT_ROUNDS_AT_ROOT : 1;
    for (int round = 0; round < MOST_ROUNDS; round++) {
      if (!node.solve(effort)) {
        return End.OPEN;
      }
      if (node.suffices()) {
        if (cutRounds-- <= 0 || limit == null || !SubsetRows.addTo(node)) {
          return End.PACKED;
        }
        continue;
      }
      if (pricer == null) {
        pricer = new BlockPricer(node.blocks(), wasteLimit, limit);
      }
      NodePrices prices = new NodePrices(node);
      BlockPricer.Priced priced = price(pricer, prices, node);
      if (prices.refute(priced.carried())) {
        return End.REFUTED;
      }
      if (!addAll(priced, node) && !(node.missing() > WHOLE && node.dearer())) {
        return node.missing() > WHOLE ? End.OPEN : End.PACKED;
      }
    }
    return End.OPEN;
  }

  private boolean round(NodeLp node) {
    Remaining left = Remaining.of(instance);
    List<Packing.Use> uses = new ArrayList<>();
    List<NodeLp.Amount> solution = node.solution();
    boolean found = false;
    for (int step = 0; step < 2; step++) {
      for (NodeLp.Amount amount : solution) {
        double part = amount.amount() - Math.floor(amount.amount() + WHOLE);
        int whole = (int) Math.floor(amount.amount() + WHOLE);
        int once = part > 0.5 ? 1 : 0;
        take(node, amount.pattern(), step == 0 ? whole : once, left, uses);
      }
      found |= complete(left, uses, 1) || complete(left, uses, 200);
      if (found && !question.costsMatter()) {
        return true;
      }
    }
    return found;
  }

  private boolean complete(Remaining left, List<Packing.Use> uses, int nodeLimit) {
    GreedyPacker packer = new GreedyPacker(instance, effort);
    GreedyPacker.Style style =
        new GreedyPacker.Style(GreedyPacker.Choice.BY_WASTE, nodeLimit, false, 0);
    List<Packing.Use> rest = packer.pack(left.copy(), style, random);
    if (rest == null) {
      return false;
    }
    List<Packing.Use> all = new ArrayList<>(uses);
    all.addAll(rest);
    Packing found = Packing.of(instance, all);
    if (question.costsMatter()) {
      if (found.cost() > question.limit()) {
        return false;
      }
      question.lower(found.cost() - 1);
    }
    packing = found;
    return true;
  }

  /** Cuts a pattern, less what is no longer wanted. */
  private void take(
      NodeLp node, BlockPattern blocks, int times, Remaining left, List<Packing.Use> uses) {
    for (int n = 0; n < times; n++) {
      int[] pieces = blocks.pieces(node.blocks());
      for (int i = 0; i < pieces.length; i++) {
        pieces[i] = Math.min(pieces[i], left.pieces[i]);
      }
      Pattern pattern = Pattern.of(instance, blocks.type(), pieces);
      if (pattern.distinct() == 0
          || left.sticks[blocks.type()] == 0
          || !instance.types().get(blocks.type()).fits(pattern.fill())) {
        return;
      }
      left.take(pattern, 1);
      uses.add(new Packing.Use(pattern, 1));
    }
  }
}
