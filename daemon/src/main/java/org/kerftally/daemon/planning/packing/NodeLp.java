package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.kerftally.daemon.planning.packing.lp.Simplex;

/**
 * Holds the relaxation of one node of the {@link PackingTree}: do these sticks, in parts, take
 * these blocks?
 *
 * <p>Rows: at least the demand of every block; at most, and where that is branched on at least, so
 * many sticks of every type; subset rows. A pattern costs what its stick does, a missing block a
 * multiple of its length. All in doubles and not trusted: {@link NodePrices} decides in whole
 * numbers.
 */
final class NodeLp {

  private static final double DEAR = 3;
  private static final double DEAREST = 1e6;
  private static final double DEARER = 10;
  private static final double TOLERANCE = 1e-7;

  private final List<SubsetRow> cuts;
  private final Simplex lp;
  private final LpColumns columns;
  private final double unit;
  private final Question question;
  private final int[] typeRows;
  private final int[] leastRows;
  private final int[] most;
  private final int[] least;
  private int[] blockRows;
  private int[] cutRows;
  private Blocks blocks;
  private double dear;

  /** Starts at a root without patterns. */
  NodeLp(Blocks blocks, Question question) {
    this.blocks = blocks;
    this.question = question;
    this.lp = new Simplex();
    this.columns = new LpColumns(lp);
    this.cuts = new ArrayList<>();
    this.unit = blocks.instance().longestReach();
    this.dear = DEAR;
    this.blockRows = new int[0];
    this.cutRows = new int[0];
    List<StickType> types = blocks.instance().types();
    this.typeRows = new int[types.size()];
    this.leastRows = new int[types.size()];
    this.most = types.stream().mapToInt(StickType::available).toArray();
    this.least = new int[types.size()];
    Arrays.fill(typeRows, -1);
    Arrays.fill(leastRows, -1);
    for (int t = 0; t < typeRows.length && question.limitsTypes(); t++) {
      if (most[t] > 0) {
        typeRows[t] = lp.addRow(Simplex.Sense.AT_MOST, most[t], new int[0], new double[0]);
      }
    }
    for (int b = 0; b < blocks.count(); b++) {
      addBlockRow(b);
    }
  }

  private NodeLp(NodeLp other) {
    this.blocks = other.blocks;
    this.lp = other.lp.copy();
    this.columns = new LpColumns(lp, other.columns);
    this.cuts = new ArrayList<>(other.cuts);
    this.unit = other.unit;
    this.dear = other.dear;
    this.blockRows = other.blockRows.clone();
    this.cutRows = other.cutRows.clone();
    this.question = other.question;
    this.typeRows = other.typeRows.clone();
    this.leastRows = other.leastRows.clone();
    this.most = other.most.clone();
    this.least = other.least.clone();
  }

  /** Returns a relaxation in the same state that goes its own way. */
  NodeLp copy() {
    return new NodeLp(this);
  }

  private void addBlockRow(int block) {
    int row = lp.addRow(Simplex.Sense.AT_LEAST, blocks.demand(block), new int[0], new double[0]);
    blockRows = Arrays.copyOf(blockRows, block + 1);
    blockRows[block] = row;
    columns.addMissing(row, dear * blocks.size(block) / unit);
  }

  Blocks blocks() {
    return blocks;
  }

  List<SubsetRow> cuts() {
    return cuts;
  }

  /** Adds a pattern unless it is known; tells whether it was added. */
  boolean add(BlockPattern pattern) {
    if (!columns.isNew(pattern)) {
      return false;
    }
    int entries = pattern.blocks().length + cuts.size() + 2;
    int[] rows = new int[entries];
    double[] values = new double[entries];
    int used = 0;
    for (int n = 0; n < pattern.blocks().length; n++) {
      rows[used] = blockRows[pattern.blocks()[n]];
      values[used++] = pattern.counts()[n];
    }
    if (typeRows[pattern.type()] >= 0) {
      rows[used] = typeRows[pattern.type()];
      values[used++] = 1;
    }
    if (leastRows[pattern.type()] >= 0) {
      rows[used] = leastRows[pattern.type()];
      values[used++] = 1;
    }
    for (int c = 0; c < cuts.size(); c++) {
      int coefficient = cuts.get(c).coefficient(pattern, blocks);
      if (coefficient > 0) {
        rows[used] = cutRows[c];
        values[used++] = coefficient;
      }
    }
    columns.add(pattern, cost(pattern), Arrays.copyOf(rows, used), Arrays.copyOf(values, used));
    return true;
  }

  private double cost(BlockPattern pattern) {
    return question.stickCost(pattern.type());
  }

  /** Goes on to the child that uses at most so many sticks of a type. */
  void useAtMost(int type, int sticks) {
    most[type] = sticks;
    lp.setSide(typeRows[type], sticks);
    if (sticks == 0) {
      forbidWhatIsNotAllowed();
    }
  }

  /** Goes on to the child that uses at least so many sticks of a type. */
  void useAtLeast(int type, int sticks) {
    least[type] = sticks;
    if (leastRows[type] >= 0) {
      lp.setSide(leastRows[type], sticks);
      return;
    }
    LpColumns.Entries entries = columns.entries(pattern -> pattern.type() == type ? 1 : 0);
    leastRows[type] = lp.addRow(Simplex.Sense.AT_LEAST, sticks, entries.columns, entries.values);
    columns.addMissing(leastRows[type], dear);
  }

  /** Returns how many sticks of a type may be used here. */
  int most(int type) {
    return most[type];
  }

  /** Returns how many sticks of a type must be used here. */
  int least(int type) {
    return least[type];
  }

  /** Goes on to the child in which pairs of two blocks were joined. */
  void join(int one, int other, int times) {
    blocks = blocks.joined(one, other, times);
    int block = blocks.count() - 1;
    lp.setSide(blockRows[one], blocks.demand(one));
    lp.setSide(blockRows[other], blocks.demand(other));
    addBlockRow(block);
    int before = columns.size();
    for (int n = 0; n < before; n++) {
      BlockPattern pattern = columns.get(n);
      if (pattern == null) {
        continue;
      }
      int pairs =
          one == other
              ? pattern.count(one) / 2
              : Math.min(pattern.count(one), pattern.count(other));
      pairs = Math.min(pairs, times);
      if (pairs > 0) {
        BlockPattern joined = pattern.joined(one, other, pairs, block);
        if (blocks.allows(joined.blocks(), joined.counts())) {
          add(joined);
        }
      }
    }
    forbidWhatIsNotAllowed();
  }

  /** Goes on to the child in which two blocks exclude each other. */
  void part(int one, int other) {
    blocks = blocks.parted(one, other);
    forbidWhatIsNotAllowed();
  }

  private void forbidWhatIsNotAllowed() {
    columns.forbidUnless(
        pattern -> most[pattern.type()] > 0 && blocks.allows(pattern.blocks(), pattern.counts()));
  }

  /** Adds a subset row. */
  void add(SubsetRow cut) {
    cuts.add(cut);
    LpColumns.Entries entries = columns.entries(pattern -> cut.coefficient(pattern, blocks));
    cutRows = Arrays.copyOf(cutRows, cuts.size());
    cutRows[cuts.size() - 1] =
        lp.addRow(Simplex.Sense.AT_MOST, cut.limit(), entries.columns, entries.values);
  }

  /** Solves over the patterns known; tells whether it got to an optimum. */
  boolean solve(Effort effort) {
    Simplex.End end = lp.solve(effort::spend);
    return end == Simplex.End.OPTIMAL;
  }

  /** Tells whether the sticks there are take everything, as far as doubles can tell. */
  boolean suffices() {
    return missing() <= TOLERANCE && lp.value() <= question.target() + TOLERANCE;
  }

  /** Returns how many blocks are missing. */
  double missing() {
    return columns.missing();
  }

  /** Makes missing blocks dearer; tells whether that is still sensible. */
  boolean dearer() {
    if (dear >= DEAREST) {
      return false;
    }
    dear *= DEARER;
    columns.dearer(DEARER);
    return true;
  }

  /** Forgets patterns that are not of use, where there are many. */
  void forget(int most) {
    if (columns.size() > most) {
      columns.forgetHalf(this::reducedCost);
    }
  }

  private double reducedCost(BlockPattern pattern) {
    double cost = cost(pattern);
    for (int n = 0; n < pattern.blocks().length; n++) {
      cost -= lp.dual(blockRows[pattern.blocks()[n]]) * pattern.counts()[n];
    }
    cost += stickDual(pattern.type()) - leastDual(pattern.type());
    for (int c = 0; c < cuts.size(); c++) {
      cost -= lp.dual(cutRows[c]) * cuts.get(c).coefficient(pattern, blocks);
    }
    return cost;
  }

  double blockDual(int block) {
    return Math.max(0, lp.dual(blockRows[block]));
  }

  double cutDual(int cut) {
    return Math.max(0, -lp.dual(cutRows[cut]));
  }

  double stickDual(int type) {
    return typeRows[type] < 0 ? 0 : Math.max(0, -lp.dual(typeRows[type]));
  }

  double leastDual(int type) {
    return leastRows[type] < 0 ? 0 : Math.max(0, lp.dual(leastRows[type]));
  }

  Question question() {
    return question;
  }

  /** A pattern and how often the relaxation cuts it. */
  record Amount(BlockPattern pattern, double amount) {}

  /** Returns the patterns that are cut. */
  List<Amount> solution() {
    return columns.solution();
  }
}
