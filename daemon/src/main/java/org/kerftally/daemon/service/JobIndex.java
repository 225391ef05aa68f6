package org.kerftally.daemon.service;

import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.folder.TakenJobs;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent;
import org.kerftally.shared.event.StationEvent;

/**
 * Knows which jobs the cut log holds: by content, by id, by file, and which of them their station
 * has not queued yet.
 *
 * <p>Follows the cut log; safe for any thread.
 */
public final class JobIndex implements TakenJobs {

  private final Map<String, TakenJob> byId = new HashMap<>();
  private final Map<String, TakenJob> bySha256 = new HashMap<>();
  private final Map<String, TakenJob> byFile = new HashMap<>();
  private final Map<String, ShopEvent.JobTaken> unqueued = new LinkedHashMap<>();

  /** Takes one event of the log in; to be called in order, once each. */
  public synchronized void follow(Recorded recorded) {
    if (recorded.event() instanceof ShopEvent.JobTaken taken) {
      var order = taken.order();
      TakenJob job = new TakenJob(order.id(), order.file(), recorded.at());
      byId.put(order.id(), job);
      bySha256.put(order.sha256(), job);
      byFile.put(order.file(), job);
      unqueued.put(order.id(), taken);
    } else if (recorded.event() instanceof StationEvent.JobQueued queued) {
      unqueued.remove(queued.order().id());
    }
  }

  @Override
  public synchronized @Nullable TakenJob bySha256(String sha256) {
    return bySha256.get(sha256);
  }

  @Override
  public synchronized boolean isKnown(String id) {
    return byId.containsKey(id);
  }

  /** Returns the latest job that came in a file of this name. */
  public synchronized Optional<TakenJob> latestOf(String file) {
    return Optional.ofNullable(byFile.get(file));
  }

  /** Returns the jobs that were taken but that their station has not queued, oldest first. */
  public synchronized List<ShopEvent.JobTaken> unqueued() {
    return List.copyOf(unqueued.values());
  }
}
