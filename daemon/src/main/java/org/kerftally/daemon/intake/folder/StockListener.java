package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.util.List;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StockItem;

/** Is told of what the office's stock file says, by the thread that steps the watcher. */
public interface StockListener {

  /**
   * The office stated what is on the rack. Must be in the cut log for good when this returns; the
   * same content is not stated again.
   *
   * @throws IOException when it cannot be kept now; it is stated again later
   */
  void stated(String sha256, List<StockItem> items) throws IOException;

  /** The file cannot be read as stock; what was stated before stays in force. */
  void refused(List<Problem> problems);
}
