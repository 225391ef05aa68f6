package org.kerftally.daemon.service;

import java.io.IOException;
import java.util.List;
import org.kerftally.daemon.cutlog.CutLogException;
import org.kerftally.daemon.cutlog.EventLog;
import org.kerftally.daemon.intake.folder.Acceptor;
import org.kerftally.daemon.intake.folder.StockListener;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StockItem;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Takes what the office drops, jobs and stock, into the cut log. For the intake's thread. */
public final class OfficeDesk implements Acceptor, StockListener {

  private static final Logger LOG = LoggerFactory.getLogger(OfficeDesk.class);

  private final EventLog log;
  private final JobDesk jobs;
  private final JobIndex index;

  /** Makes the desk of a site. */
  public OfficeDesk(EventLog log, JobDesk jobs, JobIndex index) {
    this.log = log;
    this.jobs = jobs;
    this.index = index;
  }

  @Override
  public Answer offer(JobOrder order) {
    String former = index.latestOf(order.file()).map(job -> job.id()).orElse("");
    try {
      return jobs.take(order, former);
    } catch (CutLogException e) {
      if (!e.mayRetry()) {
        throw e;
      }
      LOG.warn("job {} cannot be written to the cut log: {}", order.id(), e.getMessage());
      return new Answer.Later("the cut log cannot be written: " + e.getMessage());
    }
  }

  @Override
  public void stated(String sha256, List<StockItem> items) throws IOException {
    try {
      log.append(null, List.of(new StockStated(sha256, items)));
    } catch (CutLogException e) {
      if (!e.mayRetry()) {
        throw e;
      }
      throw new IOException("the cut log cannot be written: " + e.getMessage(), e);
    }
  }

  @Override
  public void refused(List<Problem> problems) {
    LOG.debug("stock.csv was refused, the first problem: {}", problems.get(0).text());
  }
}
