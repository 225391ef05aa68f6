package org.kerftally.daemon.service;

import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.Now;
import org.kerftally.daemon.station.Senses;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationState;

/**
 * Is told every decision of a station, for a record of it. Called by the owner's thread, after the
 * events are on disk and before any effect is carried out; must not block and must not throw.
 */
public interface DecisionWitness {

  /** Looks away. */
  DecisionWitness NONE =
      new DecisionWitness() {
        @Override
        public void decided(Question question, Decision decision, boolean written) {}

        @Override
        public void failed(Question question, Throwable failure) {}
      };

  /**
   * Holds all that a decision is taken from.
   *
   * @param state the state before it
   * @param senses the senses before it
   * @param input what happened
   * @param now the time of the decision
   */
  record Question(StationState state, Senses senses, StationInput input, Now now) {}

  /**
   * Takes a decision.
   *
   * @param written whether the log took its events; if not, it changed nothing, and the same input
   *     is decided on again
   */
  void decided(Question question, Decision decision, boolean written);

  /** Takes a decision that ended in a fault of the core's own, which ends the station. */
  void failed(Question question, Throwable failure);
}
