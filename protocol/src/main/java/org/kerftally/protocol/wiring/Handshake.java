package org.kerftally.protocol.wiring;

import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.shared.length.Length;

/**
 * Is one way to hand a device a target, as a small state machine. It is stepped with what is read,
 * and says what to write and what the device answered. It never starts anything by itself: only
 * {@link #start} sets a stop in motion, and a connection begins with taking back whatever the last
 * one left standing.
 */
interface Handshake {

  /** Returns the handshake of a configuration. */
  static Handshake of(MoveConfig move) {
    return switch (move.how()) {
      case STROBE -> new StrobeHandshake(move.toggle());
      case SEQUENCE -> new SequenceHandshake();
      case MESSAGE -> new MessageHandshake();
      case PLCOPEN -> new PlcOpenHandshake();
      case CONTRACT -> throw new IllegalArgumentException("the contract's way is the link's own");
    };
  }

  /** Begins with a new connection: takes back what was left standing, starts nothing. */
  Step begin();

  /** Tells whether the device is ready to be given a target. */
  boolean isReady(MoveInputs in) throws SignalFault;

  /** Gives the device a target; called only when it is ready. */
  Step start(long seq, Length position, MoveInputs in) throws SignalFault;

  /** Looks at what the device says; called at every reading. */
  Step look(MoveInputs in) throws SignalFault;

  /** Takes a target back that the device did not answer in time. */
  Step giveUp(MoveInputs in) throws SignalFault;

  /** Says in plain words why the device is not ready. */
  String whyNotReady(MoveInputs in);
}
