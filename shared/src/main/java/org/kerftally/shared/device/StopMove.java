package org.kerftally.shared.device;

/** Names a move of the stop to a place where nothing is to be cut. */
public enum StopMove {
  /** A little away from the blade after a cut, so that the piece lies free. */
  RETRACT,
  /** To where the stop waits while there is no work. */
  PARK;

  /** Returns the word used in the cut log's views and in JSON. */
  public String word() {
    return this == RETRACT ? "retract" : "park";
  }
}
