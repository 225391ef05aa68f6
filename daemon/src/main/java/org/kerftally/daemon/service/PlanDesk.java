package org.kerftally.daemon.service;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Executor;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.daemon.planning.Planner;
import org.kerftally.daemon.planning.StationReach;
import org.kerftally.daemon.planning.UnplannableException;
import org.kerftally.daemon.station.StationEffect.AskPlan;
import org.kerftally.daemon.stock.StockLedger;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StockItem;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Works plans out: a job's first plan on the caller's thread, a station's new plan for the rest on
 * a thread of its own, so that a saw never waits behind the office.
 */
public final class PlanDesk implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(PlanDesk.class);

  /**
   * An operator waits in front of the saw for a new plan. One made of the former plan's patterns is
   * nearly always as cheap after this long as after two seconds (see {@code
   * daemon/docs/measured.md}).
   */
  private static final Duration REPAIR_LIMIT = Duration.ofMillis(40);

  /** Where parts are left out, or there is no former plan, the best of two seconds must do. */
  private static final Duration REPLAN_LIMIT = Duration.ofSeconds(2);

  /** How often a plan is worked out again because its sticks were taken meanwhile. */
  private static final int MAX_TRIES = 5;

  private final Replanner planner;
  private final StockDesk stock;
  private final Duration limit;
  private final LongSupplier nanos;
  private final Executor replans;
  private volatile boolean closed;

  /**
   * Makes a desk.
   *
   * @param stock gives out the sticks
   * @param limit how long a job's first plan may take
   * @param nanos a monotonic clock
   */
  public PlanDesk(StockDesk stock, Duration limit, LongSupplier nanos) {
    this(
        stock,
        limit,
        nanos,
        new Planner()::replan,
        Executors.newFixedThreadPool(1, work -> daemonThread(work, "kerftally-replan")));
  }

  /**
   * Makes a desk with another planner, which works where the executor says; threads that are behind
   * it end with the desk.
   */
  PlanDesk(
      StockDesk stock, Duration limit, LongSupplier nanos, Replanner planner, Executor replans) {
    this.stock = stock;
    this.limit = limit;
    this.nanos = nanos;
    this.planner = planner;
    this.replans = replans;
  }

  /** Plans; the real one is {@link Planner#replan}. */
  interface Replanner {
    CutPlan replan(PlanRequest request, List<PlannedSticks> former, BooleanSupplier stop);
  }

  private static Thread daemonThread(Runnable work, String name) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(true);
    return thread;
  }

  /** Says what came of a wish for a job's first plan. */
  sealed interface First {

    /** A plan whose sticks are claimed for the job. */
    record Claimed(CutPlan plan) implements First {}

    /** The planner will not plan these numbers, now or later. */
    record Unplannable(String reason, String mend) implements First {}

    /** The stock went to other jobs each time; it may work out later. */
    record StockInMotion() implements First {}
  }

  /**
   * Works out a plan for a new job. What the planner cannot take is an answer, not a failure: a
   * file that was dropped must never end the service.
   */
  First first(String job, StationSetup station, List<Part> parts) {
    try {
      return claimed(job, station, parts, null, false, limit)
          .<First>map(First.Claimed::new)
          .orElseGet(First.StockInMotion::new);
    } catch (UnplannableException e) {
      return new First.Unplannable(e.reason(), e.mend());
    } catch (IllegalStateException e) {
      LOG.error("the plan for {} failed its check: a fault of Kerftally's own", job, e);
      return new First.Unplannable(
          "the plan failed its check, which is a fault of Kerftally's own",
          "split the job into several files, or change a quantity");
    }
  }

  /**
   * Works out a plan for the rest of a job and hands it over when it is there. The plan's sticks
   * are claimed by then. Always answers, unless the desk is closed.
   */
  void rest(StationSetup station, AskPlan ask, Consumer<CutPlan> answer) {
    Duration time = limit.compareTo(REPLAN_LIMIT) < 0 ? limit : REPLAN_LIMIT;
    try {
      replans.execute(
          () -> {
            try {
              answer.accept(
                  claimed(ask.job(), station, ask.parts(), ask.inSaw(), true, time)
                      .orElseGet(() -> nothing(ask.parts())));
            } catch (RuntimeException e) {
              LOG.error("a new plan for {} could not be worked out", ask.job(), e);
              answer.accept(nothing(ask.parts()));
            }
          });
    } catch (RejectedExecutionException e) {
      LOG.debug("no new plan for {}: the service ends", ask.job());
    }
  }

  private Optional<CutPlan> claimed(
      String job,
      StationSetup station,
      List<Part> parts,
      @Nullable StockItem inSaw,
      boolean again,
      Duration time) {
    for (int attempt = 0; attempt < MAX_TRIES && !closed; attempt++) {
      StockLedger ledger = stock.ledger();
      List<StockItem> free = new ArrayList<>(ledger.available(job));
      if (inSaw != null) {
        free.add(0, inSaw);
      }
      List<PlannedSticks> former = again ? ledger.reserved(job) : List.of();
      CutPlan plan = plan(station, parts, free, former, time);
      if (stock.claim(job, station.name(), plan)) {
        return Optional.of(plan);
      }
    }
    LOG.warn("the stock changed {} times while {} was planned", MAX_TRIES, job);
    return Optional.empty();
  }

  private CutPlan plan(
      StationSetup station,
      List<Part> parts,
      List<StockItem> free,
      List<PlannedSticks> former,
      Duration time) {
    StationReach.Narrowed narrowed = station.request(parts, free);
    CutPlan plan = plan(narrowed.request(), former, time);
    if (narrowed.unreachableParts().isEmpty()) {
      return plan;
    }
    List<Shortage> shortages = new ArrayList<>(plan.shortages());
    shortages.addAll(nothing(narrowed.unreachableParts()).shortages());
    return new CutPlan(
        plan.sticks(), shortages, plan.cost(), plan.bound(), plan.proven(), plan.figures());
  }

  private CutPlan plan(PlanRequest request, List<PlannedSticks> former, Duration time) {
    if (!former.isEmpty()) {
      CutPlan repaired = planner.replan(request, former, after(REPAIR_LIMIT));
      if (repaired.proven() || repaired.shortages().isEmpty()) {
        return repaired;
      }
    }
    return planner.replan(request, former, after(time));
  }

  private BooleanSupplier after(Duration time) {
    long until = nanos.getAsLong() + time.toNanos();
    return () -> closed || nanos.getAsLong() - until > 0;
  }

  private static CutPlan nothing(List<Part> parts) {
    List<Shortage> all =
        parts.stream()
            .map(p -> new Shortage(p.name(), p.material(), p.length(), p.quantity()))
            .toList();
    return new CutPlan(List.of(), all, java.math.BigDecimal.ZERO, java.math.BigDecimal.ZERO, false);
  }

  @Override
  public void close() {
    closed = true;
    if (!(replans instanceof ExecutorService threads)) {
      return;
    }
    threads.shutdownNow();
    try {
      if (!threads.awaitTermination(5, TimeUnit.SECONDS)) {
        LOG.warn("a plan is still being worked out while the service ends");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
