package org.kerftally.protocol.wiring;

import org.kerftally.shared.length.Length;

/**
 * Says what is to be written to one point of a handshake. Writes are made in order, each only after
 * the device has the one before.
 */
public sealed interface Write {

  /** Returns the point's name. */
  String point();

  /** Writes a flag. */
  record Flag(String point, boolean on) implements Write {}

  /** Writes a position. */
  record Position(String point, Length position) implements Write {}

  /** Writes a number. */
  record Count(String point, long number) implements Write {}

  /** Sends a position and its number in one message. */
  record Command(String point, Length position, long seq) implements Write {}
}
