package org.kerftally.daemon.service;

import java.time.Clock;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.stock.StockLedger;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Gives out the stock to plans, so that no stick is promised twice.
 *
 * <p>The ledger follows the cut log. A plan is worked out on a picture of the stock without holding
 * anything up, then claimed: the claim succeeds only if its sticks are still free. A claim holds
 * until the plan's own event is in the log and takes its place.
 *
 * <p>Safe for any thread.
 */
public final class StockDesk {

  private final Clock clock;
  private final ReentrantLock lock = new ReentrantLock();
  private StockLedger ledger = StockLedger.EMPTY;

  /** Makes a desk that knows of no stock yet. */
  public StockDesk(Clock clock) {
    this.clock = clock;
  }

  /** Takes one event of the log in; to be called in order, once each. */
  public void follow(Recorded recorded) {
    lock.lock();
    try {
      ledger = ledger.apply(recorded);
    } finally {
      lock.unlock();
    }
  }

  /** Returns the ledger as it stands. */
  public StockLedger ledger() {
    lock.lock();
    try {
      return ledger;
    } finally {
      lock.unlock();
    }
  }

  /** Claims a plan's sticks for a job, instead of whatever it had claimed before. */
  boolean claim(String job, @Nullable String station, CutPlan plan) {
    lock.lock();
    try {
      if (!covers(ledger.available(job), plan)) {
        return false;
      }
      Replanned claim = new Replanned(job, "claimed", plan);
      ledger = ledger.apply(new Recorded(0, clock.instant(), station, claim));
      return true;
    } finally {
      lock.unlock();
    }
  }

  private record Sort(String material, Length length, StickKind kind, @Nullable String label) {}

  private static boolean covers(List<StockItem> free, CutPlan plan) {
    Map<Sort, Long> left = new HashMap<>();
    for (StockItem item : free) {
      long quantity = item.quantity() == null ? Integer.MAX_VALUE : item.quantity();
      left.merge(
          new Sort(item.material(), item.length(), item.kind(), item.label()), quantity, Long::sum);
    }
    for (PlannedSticks sticks : plan.sticks()) {
      if (sticks.kind() != StickKind.IN_SAW) {
        Sort sort = new Sort(sticks.material(), sticks.length(), sticks.kind(), sticks.label());
        long rest = left.getOrDefault(sort, 0L) - sticks.repeat();
        if (rest < 0) {
          return false;
        }
        left.put(sort, rest);
      }
    }
    return true;
  }
}
