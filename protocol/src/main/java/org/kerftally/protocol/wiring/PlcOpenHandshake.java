package org.kerftally.protocol.wiring;

import org.kerftally.shared.length.Length;

/**
 * Hands a target to the function block MC_MoveAbsolute (PLCopen Technical Committee 2, Function
 * Blocks for Motion Control, part 1): the rising edge of Execute starts the move; Busy says that it
 * goes on; of Done, CommandAborted and Error one at most is on; with the falling edge of Execute
 * the outputs go off, at the end of the move and not before.
 *
 * <pre>
 *            position, Execute on          Busy or Done: taken            Done, Aborted, Error:
 *   RESTING ──────────────────► EXECUTING ──────────────────► MOVING ──── Execute off ───► CLEARING
 *                                   └─ Error, Aborted: refused; not in time ─── Execute off ──►┘
 *   CLEARING ── all outputs off ──► RESTING
 * </pre>
 *
 * <p>A move that was taken goes on by itself; taking Execute back does not stop it. A new target
 * while one is under way waits until its outputs are off.
 */
final class PlcOpenHandshake implements Handshake {

  private static final String EXECUTE = "execute";

  private enum State {
    RESTING,
    EXECUTING,
    MOVING,
    CLEARING
  }

  private State state = State.CLEARING;

  @Override
  public Step begin() {
    state = State.CLEARING;
    return Step.write(new Write.Flag(EXECUTE, false));
  }

  @Override
  public boolean isReady(MoveInputs in) throws SignalFault {
    return state == State.RESTING && !anyOutput(in);
  }

  private static boolean anyOutput(MoveInputs in) throws SignalFault {
    return in.flag("busy") || in.flag("done") || in.flag("command-aborted") || in.flag("error");
  }

  @Override
  public Step start(long seq, Length position, MoveInputs in) {
    state = State.EXECUTING;
    return Step.write(new Write.Position("position", position), new Write.Flag(EXECUTE, true));
  }

  @Override
  public Step look(MoveInputs in) throws SignalFault {
    return switch (state) {
      case RESTING -> Step.NONE;
      case EXECUTING -> executing(in);
      case MOVING -> {
        boolean ended = in.flag("done") || in.flag("command-aborted") || in.flag("error");
        yield ended ? clear(Step.NONE) : Step.NONE;
      }
      case CLEARING -> {
        if (!anyOutput(in)) {
          state = State.RESTING;
        }
        yield Step.NONE;
      }
    };
  }

  private Step executing(MoveInputs in) throws SignalFault {
    if (in.flag("error")) {
      return clear(Step.refused("the device reports error" + in.error("error-id")));
    }
    if (in.flag("command-aborted")) {
      return clear(Step.refused("the device gave the move up: CommandAborted"));
    }
    if (in.flag("done")) {
      return clear(Step.accepted());
    }
    if (in.flag("busy")) {
      state = State.MOVING;
      return Step.accepted();
    }
    return Step.NONE;
  }

  private Step clear(Step step) {
    state = State.CLEARING;
    Step.Verdict verdict = step.verdict();
    return new Step(java.util.List.of(new Write.Flag(EXECUTE, false)), verdict);
  }

  @Override
  public Step giveUp(MoveInputs in) {
    return state == State.EXECUTING ? clear(Step.NONE) : Step.NONE;
  }

  @Override
  public String whyNotReady(MoveInputs in) {
    return state == State.MOVING
        ? "the last move is not over: neither Done, CommandAborted nor Error is on"
        : "an output of the last move is still on although Execute is off";
  }
}
