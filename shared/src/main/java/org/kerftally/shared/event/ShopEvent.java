package org.kerftally.shared.event;

import java.util.List;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.stock.StockItem;

/** States something that happened in the office's folder, not at one station. */
public sealed interface ShopEvent extends Event {

  /**
   * A job file was accepted and planned.
   *
   * @param order the job order
   * @param station the station that cuts it
   * @param plan its first plan
   */
  record JobTaken(JobOrder order, String station, CutPlan plan) implements ShopEvent {}

  /**
   * A job that had not been started was withdrawn, for example by a newer revision.
   *
   * @param job the job's id
   * @param reason why, for people
   */
  record JobWithdrawn(String job, String reason) implements ShopEvent {}

  /**
   * The office stated what is on the rack at this moment. Consumption before it no longer counts.
   *
   * @param sha256 the stock file's content hash
   * @param items its lines
   */
  record StockStated(String sha256, List<StockItem> items) implements ShopEvent {

    /** Copies the list. */
    public StockStated {
      items = List.copyOf(items);
    }
  }
}
