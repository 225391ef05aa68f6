package org.kerftally.protocol.wiring;

import org.kerftally.shared.length.Length;

/**
 * Hands a target over with a strobe: the position is written, then a bit; the device takes the
 * position and echoes the bit.
 *
 * <pre>
 *            position, strobe on          echo on: taken, or error     echo off
 *   RESTING ─────────────────────► RAISED ──────────────────────► FALLING ─────► RESTING
 *                                     └── not in time: strobe off ──►┘
 * </pre>
 *
 * <p>With a toggle, the strobe is turned over for each target and never taken back; a target the
 * device did not take in time is withdrawn by turning it back, so that strobe and echo agree.
 */
final class StrobeHandshake implements Handshake {

  private static final String STROBE = "strobe";
  private static final String ECHO = "echo";

  private enum State {
    RESTING,
    RAISED,
    FALLING
  }

  private final boolean toggle;
  private State state = State.RESTING;
  private boolean raised;

  StrobeHandshake(boolean toggle) {
    this.toggle = toggle;
  }

  @Override
  public Step begin() {
    if (toggle) {
      state = State.RESTING;
      return Step.NONE;
    }
    state = State.FALLING;
    return Step.write(new Write.Flag(STROBE, false));
  }

  @Override
  public boolean isReady(MoveInputs in) throws SignalFault {
    return state == State.RESTING && (toggle || !in.flag(ECHO));
  }

  @Override
  public Step start(long seq, Length position, MoveInputs in) throws SignalFault {
    raised = !toggle || !in.flag(ECHO);
    state = State.RAISED;
    return Step.write(new Write.Position("position", position), new Write.Flag(STROBE, raised));
  }

  @Override
  public Step look(MoveInputs in) throws SignalFault {
    if (state == State.RAISED && in.flag(ECHO) == raised) {
      state = toggle ? State.RESTING : State.FALLING;
      Write[] after = toggle ? new Write[0] : new Write[] {new Write.Flag(STROBE, false)};
      return in.flag("error")
          ? Step.refused("the device reports error" + in.error("error"), after)
          : Step.accepted(after);
    }
    if (state == State.FALLING && !in.flag(ECHO)) {
      state = State.RESTING;
    }
    return Step.NONE;
  }

  @Override
  public Step giveUp(MoveInputs in) {
    if (state != State.RAISED) {
      return Step.NONE;
    }
    state = toggle ? State.RESTING : State.FALLING;
    return Step.write(new Write.Flag(STROBE, toggle && !raised));
  }

  @Override
  public String whyNotReady(MoveInputs in) {
    return in.where(ECHO) + " is still on although the strobe is off";
  }
}
