package org.kerftally.daemon.station;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.stock.StockItem;

/** Says what is to be done once the events of the same decision are on disk. */
public sealed interface StationEffect {

  /** Send this target now, or not at all. */
  record Send(Target target) implements StationEffect {}

  /** Show this to the operator. */
  record Show(Prompt prompt) implements StationEffect {}

  /**
   * Work out a new plan for the rest of a job and answer with {@link StationInput.PlanReady}.
   *
   * @param job the job's id
   * @param number the number of the wish, to be given back
   * @param parts what is still to be made
   * @param inSaw what is left of the stick in the saw, or {@code null} when there is none
   */
  record AskPlan(String job, int number, List<Part> parts, @Nullable StockItem inSaw)
      implements StationEffect {

    /** Copies the list. */
    public AskPlan {
      parts = List.copyOf(parts);
    }
  }
}
