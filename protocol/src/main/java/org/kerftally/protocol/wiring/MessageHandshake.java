package org.kerftally.protocol.wiring;

import org.kerftally.shared.length.Length;

/**
 * Hands a target over in one message that holds position and number. The device answers with a
 * message that names the number, or echoes it as {@code ActiveSequence}.
 */
final class MessageHandshake implements Handshake {

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
    return Step.write(new Write.Command("command", position, seq));
  }

  @Override
  public Step look(MoveInputs in) throws SignalFault {
    if (awaited == 0) {
      return Step.NONE;
    }
    boolean answered = in.has("answer") && in.number("answer") == awaited;
    if (answered && in.has("accepted") && !in.flag("accepted")) {
      awaited = 0;
      String reason = in.words("reason");
      return Step.refused(reason.isBlank() ? "the device refused it without a reason" : reason);
    }
    boolean error = in.flag("error");
    if (error && !stale && !answered) {
      awaited = 0;
      return Step.refused("the device reports error" + in.error("error"));
    }
    stale &= error;
    if (answered || in.activeSequence() == awaited) {
      awaited = 0;
      return Step.accepted();
    }
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
