package org.kerftally.daemon.planning.packing;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Finds subset rows that a relaxation violates, by looking at all triples that share sticks. */
final class SubsetRows {

  private static final double LEAST_VIOLATION = 0.002;
  private static final double LEAST_SHARE = 1e-6;
  private static final int MOST_A_ROUND = 12;
  private static final int MOST_AN_ITEM = 3;
  private static final int MOST_CUTS = 60;
  private static final int MOST_ITEMS = 400;

  private SubsetRows() {}

  private record Violated(SubsetRow row, double by) {}

  /** Adds the most violated ones to a node; tells whether there were any. */
  static boolean addTo(NodeLp node) {
    Instance instance = node.blocks().instance();
    if (instance.itemCount() > MOST_ITEMS || node.cuts().size() >= MOST_CUTS) {
      return false;
    }
    List<Violated> violated = violated(node, instance);
    violated.sort(Comparator.comparingDouble(v -> -v.by()));
    int[] used = new int[instance.itemCount()];
    Set<SubsetRow> known = new HashSet<>(node.cuts());
    int added = 0;
    for (Violated v : violated) {
      SubsetRow row = v.row();
      if (added < MOST_A_ROUND
          && used[row.first()] < MOST_AN_ITEM
          && used[row.second()] < MOST_AN_ITEM
          && used[row.third()] < MOST_AN_ITEM
          && known.add(row)) {
        used[row.first()]++;
        used[row.second()]++;
        used[row.third()]++;
        node.add(row);
        added++;
      }
    }
    return added > 0;
  }

  private static List<Violated> violated(NodeLp node, Instance instance) {
    int items = instance.itemCount();
    List<int[]> held = new ArrayList<>();
    List<Double> amounts = new ArrayList<>();
    double[][] shared = new double[items][items];
    for (NodeLp.Amount amount : node.solution()) {
      int[] dense = amount.pattern().pieces(node.blocks());
      int[] own = new int[items];
      int used = 0;
      for (int i = 0; i < items; i++) {
        if (dense[i] > 0) {
          own[used++] = i;
        }
      }
      for (int n = 0; n < used; n++) {
        for (int k = 0; k < n; k++) {
          shared[own[n]][own[k]] += amount.amount();
          shared[own[k]][own[n]] += amount.amount();
        }
      }
      held.add(dense);
      amounts.add(amount.amount());
    }
    int[][] neighbours = new int[items][];
    for (int i = 0; i < items; i++) {
      int[] own = new int[items];
      int used = 0;
      for (int k = i + 1; k < items; k++) {
        if (shared[i][k] > LEAST_SHARE) {
          own[used++] = k;
        }
      }
      neighbours[i] = Arrays.copyOf(own, used);
    }
    List<Violated> violated = new ArrayList<>();
    for (int i = 0; i < items; i++) {
      for (int j : neighbours[i]) {
        for (int k : neighbours[i]) {
          if (k > j && (shared[j][k] > LEAST_SHARE || shared[i][j] + shared[i][k] > 1)) {
            consider(SubsetRow.of(instance, i, j, k), shared, held, amounts, violated);
          }
        }
      }
    }
    return violated;
  }

  private static void consider(
      SubsetRow row,
      double[][] shared,
      List<int[]> held,
      List<Double> amounts,
      List<Violated> violated) {
    double most =
        shared[row.first()][row.second()]
            + shared[row.first()][row.third()]
            + shared[row.second()][row.third()];
    if (row.limit() == 1 && most < 1 + LEAST_VIOLATION) {
      return;
    }
    double sum = -row.limit();
    for (int n = 0; n < held.size(); n++) {
      int[] dense = held.get(n);
      int pieces = dense[row.first()] + dense[row.second()] + dense[row.third()];
      sum += (pieces >> 1) * amounts.get(n);
    }
    if (sum > LEAST_VIOLATION) {
      violated.add(new Violated(row, sum));
    }
  }
}
