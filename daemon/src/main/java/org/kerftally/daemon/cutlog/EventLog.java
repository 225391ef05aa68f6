package org.kerftally.daemon.cutlog;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;

/**
 * Takes what happened and keeps it. The real one is {@link CutLog}; a simulation has one in memory.
 */
public interface EventLog {

  /**
   * Appends events, all or none; they are durable when this returns.
   *
   * @param station the station the events belong to, or {@code null} for the shop
   * @param events what happened
   * @return the events as recorded, with ids that follow each other without a gap
   * @throws CutLogException when they could not be written; see there whether to try again
   * @throws IllegalStateException when an event contradicts the log; nothing was written
   */
  List<Recorded> append(@Nullable String station, List<? extends Event> events);
}
