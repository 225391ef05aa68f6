package org.kerftally.protocol.opcua;

import org.kerftally.shared.device.DeviceSnapshot;

/** Says where a link stands. Only the link's own thread moves it from one state to the next. */
sealed interface LinkState {

  /**
   * Nothing is connected; the next attempt is at a set time.
   *
   * @param failures how many attempts failed in a row
   * @param untilNanos when to try again, by {@link System#nanoTime()}
   */
  record Resting(int failures, long untilNanos) implements LinkState {}

  /**
   * A connection is being made.
   *
   * @param failures how many attempts failed before this one
   */
  record Opening(int failures) implements LinkState {}

  /**
   * The device was read whole and targets go out.
   *
   * @param connection the only way to the device
   * @param last the last snapshot that was passed on
   * @param sinceNanos when it became live, by {@link System#nanoTime()}
   * @param nextPollNanos when to read although nothing stirred
   * @param silentChanges how many polls in a row found a change the subscription had not told of
   */
  record Live(
      DeviceConnection connection,
      DeviceSnapshot last,
      long sinceNanos,
      long nextPollNanos,
      int silentChanges)
      implements LinkState {}

  /** The link is closed for good. */
  record Closed() implements LinkState {}
}
