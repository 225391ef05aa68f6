package org.kerftally.daemon.intake;

import java.util.List;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StockItem;

/**
 * Holds what became of a stock file: what lies on the rack, or everything that is wrong with it.
 */
public sealed interface StockReading {

  /** The file states the stock; an empty list states an empty rack. */
  record Good(List<StockItem> items) implements StockReading {

    /** Copies the list. */
    public Good {
      items = List.copyOf(items);
    }
  }

  /** The file is refused, with at least one problem. */
  record Bad(List<Problem> problems) implements StockReading {

    /** Copies the list. */
    public Bad {
      problems = List.copyOf(problems);
    }
  }
}
