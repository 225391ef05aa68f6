package org.kerftally.daemon.station;

import java.util.List;
import org.kerftally.shared.event.StationEvent;

/**
 * Holds the outcome of one decision.
 *
 * @param state the state after the events
 * @param senses what is known for now
 * @param events what happened, to be written before any effect is carried out
 * @param effects what is to be done then, in order
 */
public record Decision(
    StationState state, Senses senses, List<StationEvent> events, List<StationEffect> effects) {

  /** Copies the lists. */
  public Decision {
    events = List.copyOf(events);
    effects = List.copyOf(effects);
  }
}
