package org.kerftally.daemon.service;

import java.util.Optional;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.Acknowledged;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.plan.Shortage;

/**
 * Picks what whoever reads the service's own output wants to know of a station: where it stands in
 * its work, and what it waits for. Single cuts are in the cut log.
 */
final class StationNews {

  private StationNews() {}

  /** Returns an event in words, or nothing where it is a matter of every day. */
  static Optional<String> of(StationEvent event) {
    if (event instanceof JobStarted started) {
      return Optional.of("job " + started.job() + " begins");
    }
    if (event instanceof JobReopened reopened) {
      return Optional.of("job " + reopened.job() + " begins again, a piece of it was rejected");
    }
    if (event instanceof JobEnded ended) {
      long missing = ended.shortages().stream().mapToLong(Shortage::missing).sum();
      return Optional.of(
          "job "
              + ended.job()
              + (missing == 0 ? " is complete" : " ends, pieces short: " + missing));
    }
    if (event instanceof FaultRaised raised) {
      return Optional.of("fault " + raised.code() + ": " + raised.text());
    }
    if (event instanceof FaultCleared cleared) {
      return Optional.of("fault " + cleared.code() + " is gone");
    }
    if (event instanceof LinkUp) {
      return Optional.of("the link is up");
    }
    if (event instanceof LinkDown down) {
      return Optional.of("the link is down: " + down.reason());
    }
    return event instanceof Acknowledged
        ? Optional.of("acknowledged at the machine")
        : Optional.empty();
  }

  /** Returns what a station that has just come into a state waits for, or nothing. */
  static Optional<String> of(StationMode mode, Prompt prompt) {
    // What an aborted station waits for, its fault says; a stop that moves and a cut that was asked
    // for are matters of every minute.
    boolean isAsked =
        switch (prompt.kind()) {
          case LOAD_STICK, ACKNOWLEDGE, CLEAR_MACHINE -> true;
          case NONE, CUT, SQUARE_END -> false;
        };
    boolean waits = mode == StationMode.HELD || (mode == StationMode.SUSPENDED && isAsked);
    return waits && !prompt.text().isBlank()
        ? Optional.of("waits: " + prompt.text())
        : Optional.empty();
  }
}
