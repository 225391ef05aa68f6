package org.kerftally.daemon.planning.bench;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.daemon.planning.packing.Instance;

/** One thing to measure, by name and class, with the optimal cost where it is known. */
public sealed interface BenchCase {

  /** Returns the instance's name, as in the table of known optima. */
  String name();

  /** Returns the class it counts for. */
  String group();

  /** Returns the optimal cost, or {@code null} where nobody knows it. */
  @Nullable BigDecimal optimum();

  /** A packing problem in whole numbers, solved without the shop around it. */
  record Packed(String name, String group, Instance instance, @Nullable BigDecimal optimum)
      implements BenchCase {}

  /** A job of a shop with its stock, planned as {@code plan} would. */
  record Job(String name, String group, PlanRequest request, @Nullable BigDecimal optimum)
      implements BenchCase {}
}
