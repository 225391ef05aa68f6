package org.kerftally.protocol.wiring;

import org.kerftally.shared.length.Length;

/**
 * Hands a target over by a number that changes: the position is written, then the target's number;
 * the device takes the position when it sees a new number, and echoes it as {@code ActiveSequence}.
 *
 * <p>An error counts only when it came after the number was written: some devices leave the last
 * one standing.
 */
final class SequenceHandshake implements Handshake {

  private long awaited;
  private boolean stale;

  @Override
  public Step begin() {
    awaited = 0;
    return Step.NONE;
  }

  @Override
  public boolean isReady(MoveInputs in) {
    return true;
  }

  @Override
  public Step start(long seq, Length position, MoveInputs in) throws SignalFault {
    awaited = seq;
    stale = in.flag("error");
    return Step.write(new Write.Position("position", position), new Write.Count("sequence", seq));
  }

  @Override
  public Step look(MoveInputs in) throws SignalFault {
    if (awaited == 0) {
      return Step.NONE;
    }
    if (in.activeSequence() == awaited) {
      awaited = 0;
      return Step.accepted();
    }
    boolean error = in.flag("error");
    if (error && !stale) {
      awaited = 0;
      return Step.refused("the device reports error" + in.error("error"));
    }
    stale &= error;
    return Step.NONE;
  }

  @Override
  public Step giveUp(MoveInputs in) {
    awaited = 0;
    return Step.NONE;
  }

  @Override
  public String whyNotReady(MoveInputs in) {
    return "";
  }
}
