package org.kerftally.daemon.board;

import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.kerftally.shared.event.Recorded;

/**
 * Folds the cut log into the counters of the metrics, so that a restart keeps every total: the log
 * is replayed into it first, then it is subscribed to what is appended.
 *
 * <p>One thread at a time may fold, any may read meanwhile.
 */
public final class ShopCounts {

  private final Map<String, StationCounts> byStation = new ConcurrentHashMap<>();
  private final Map<String, StationIncidents> incidents = new ConcurrentHashMap<>();

  /** Counts nothing yet. */
  public ShopCounts() {}

  /** Folds an event; events of the shop itself are not counted. */
  public void apply(Recorded recorded) {
    String station = recorded.station();
    if (station != null) {
      StationCounts before = byStation.getOrDefault(station, StationCounts.NONE);
      byStation.put(station, before.apply(recorded.event()));
      StationIncidents former = incidents.getOrDefault(station, StationIncidents.NONE);
      incidents.put(station, former.apply(recorded));
    }
  }

  /** Returns the counts as they are now, by the station's name. */
  public Map<String, StationCounts> byStation() {
    return Map.copyOf(byStation);
  }

  /** Returns what went wrong, as it is now, by the station's name. */
  public Map<String, StationIncidents> incidents() {
    return Map.copyOf(incidents);
  }
}
