package org.kerftally.daemon.planning.bench;

import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Says how one case went.
 *
 * @param name the instance's name
 * @param group its class
 * @param pieces how many pieces were wanted
 * @param sticks how many sticks the plan takes, 0 without a plan
 * @param cost what the plan costs, or {@code null} without a plan
 * @param bound what every plan costs at least, or {@code null} where it is proven that none exists
 * @param optimum the optimal cost, or {@code null} where nobody knows it
 * @param proven whether plan and bound meet, or no plan exists
 * @param seconds how long it took
 * @param faults what is wrong with plan or bound; empty unless the planner errs
 */
public record BenchRow(
    String name,
    String group,
    long pieces,
    long sticks,
    @Nullable BigDecimal cost,
    @Nullable BigDecimal bound,
    @Nullable BigDecimal optimum,
    boolean proven,
    double seconds,
    List<String> faults) {

  /** The columns of {@link #csv()}. */
  public static final String CSV_HEADER =
      "name,class,pieces,sticks,cost,bound,optimum,proven,seconds,faults";

  /** Copies the faults. */
  public BenchRow {
    faults = List.copyOf(faults);
  }

  /** Tells whether the plan costs what is known to be, or proven here to be, the least. */
  public boolean found() {
    if (cost == null) {
      return proven;
    }
    return proven || (optimum != null && cost.compareTo(optimum) == 0);
  }

  /** Returns one line for people. */
  public String line() {
    String costs = cost == null ? "none" : cost.toPlainString();
    String bounds = bound == null ? "no plan exists" : bound.toPlainString();
    String known = optimum == null ? "" : "  known " + optimum.toPlainString();
    String wrong = faults.isEmpty() ? "" : "  WRONG: " + String.join("; ", faults);
    return String.format(
        Locale.ROOT,
        "%-28s %-12s %6d sticks  cost %8s  bound %8s  %-6s %10.4f s%s%s",
        name,
        group,
        sticks,
        costs,
        bounds,
        proven ? "proven" : "open",
        seconds,
        known,
        wrong);
  }

  /** Returns one line for programs, by {@link #CSV_HEADER}. */
  public String csv() {
    return String.join(
        ",",
        field(name),
        field(group),
        String.valueOf(pieces),
        String.valueOf(sticks),
        cost == null ? "" : cost.toPlainString(),
        bound == null ? "infeasible" : bound.toPlainString(),
        optimum == null ? "" : optimum.toPlainString(),
        String.valueOf(proven),
        String.format(Locale.ROOT, "%.6f", seconds),
        field(String.join("; ", faults)));
  }

  private static String field(String text) {
    boolean plain = text.chars().noneMatch(c -> c == ',' || c == '"' || c < ' ');
    return plain ? text : "\"" + text.replace("\"", "\"\"") + "\"";
  }
}
