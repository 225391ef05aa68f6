package org.kerftally.daemon.station;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationState.OpenMove;
import org.kerftally.daemon.station.StationState.OpenTarget;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.TargetAccepted;
import org.kerftally.shared.event.StationEvent.TargetRefused;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;

/**
 * Sets targets, one at a time, and settles their answers.
 *
 * <p>A target not answered within its validity is void, unless the device echoes its sequence
 * number, which is an answer too. A refused or void target is followed by a new one with a new
 * number, after a pause, a few times; then the station stops asking until someone has looked.
 */
final class Targets {

  static final String NO_ANSWER = "no-answer";
  static final String REFUSED = "refused";
  static final String OUT_OF_TRAVEL = "out-of-travel";

  private static final int MAX_MISSES = 3;
  private static final long RETRY_NANOS = 500_000_000L;

  private Targets() {}

  /** Sets the next target: writes it, and asks for it to be sent after that. */
  static void set(Turn turn, StickInSaw stick, @Nullable Cut cut) {
    String job = turn.run().order().id();
    Length wanted = cut == null ? stick.planned().leadTrim() : cut.length();
    Length stand = StopGeometry.stand(turn.rules, stick, cut);
    if (!turn.rules.travel().reaches(stand)) {
      turn.say(
          new FaultRaised(
              OUT_OF_TRAVEL,
              "The stop would have to stand at "
                  + stand
                  + ", its travel is "
                  + turn.rules.travel().min()
                  + " to "
                  + turn.rules.travel().max()
                  + ". Check the stick, then acknowledge."));
      return;
    }
    DeviceSnapshot snapshot = turn.snapshot();
    long seq = nextNumber(turn);
    Instant until = turn.now.wall().plus(turn.rules.validity());
    Length position = turn.rules.calibration().toPosition(stand);
    String part = cut == null ? null : cut.part();
    turn.say(new TargetSet(seq, job, stick.number(), part, wanted, position, until));
    turn.sense(turn.senses().waitingUntil(turn.now.nanos() + turn.rules.validity().toNanos()));
    turn.effect(
        new StationEffect.Send(
            new Target(
                seq,
                position,
                part,
                job,
                until,
                turn.rules.validity(),
                snapshot == null ? null : snapshot.boot())));
  }

  /** Returns the number of what is sent next. */
  static long nextNumber(Turn turn) {
    return Math.max(turn.state().lastSeq(), highest(turn.snapshot())) + 1;
  }

  /**
   * Returns the highest number the device knows. Somebody else may have given it targets since its
   * power-up was met: one of the same number would be refused, or taken for ours.
   */
  private static long highest(@Nullable DeviceSnapshot snapshot) {
    if (snapshot == null) {
      return 0;
    }
    LastCut cut = snapshot.lastCut();
    return Math.max(snapshot.activeSequence(), cut == null ? 0 : cut.seq());
  }

  /** Is what was sent last and is neither cut, done nor void: a target, or a move. */
  private record Pending(long seq, boolean answered, @Nullable StopMove move) {}

  private static @Nullable Pending pending(StationState state) {
    OpenTarget open = state.target();
    if (open != null) {
      return new Pending(open.set().seq(), open.answered(), null);
    }
    OpenMove moving = state.moving();
    return moving == null
        ? null
        : new Pending(moving.set().seq(), moving.answered(), moving.set().move());
  }

  /** Takes the device's answer. An answer to anything but what is open changes nothing. */
  static void answered(Turn turn, LinkEvent.Replied reply) {
    Pending open = pending(turn.state());
    if (open == null || open.seq() != reply.seq() || open.answered()) {
      return;
    }
    turn.sense(turn.senses().waitingUntil(null));
    if (reply.accepted()) {
      turn.say(new TargetAccepted(reply.seq()));
      return;
    }
    String reason = reply.reason() == null ? "no reason given" : reply.reason();
    turn.say(new TargetRefused(reply.seq(), reason));
    missed(turn, open, REFUSED, "The positioner refused its target: " + reason);
  }

  /** Settles what was sent and whose time to be answered is over. */
  static void expire(Turn turn) {
    Pending open = pending(turn.state());
    if (open == null || open.answered()) {
      return;
    }
    DeviceSnapshot snapshot = turn.snapshot();
    if (snapshot != null && snapshot.activeSequence() == open.seq()) {
      turn.sense(turn.senses().waitingUntil(null));
      turn.say(new TargetAccepted(open.seq()));
      return;
    }
    Long due = turn.senses().answerDueNanos();
    if (due != null && turn.now.nanos() - due > 0) {
      turn.sense(turn.senses().waitingUntil(null));
      turn.say(new TargetVoided(open.seq(), "not answered in time"));
      missed(turn, open, NO_ANSWER, "The positioner does not answer its targets");
    }
  }

  private static void missed(Turn turn, Pending open, String code, String text) {
    turn.sense(turn.senses().retryingAfter(turn.now.nanos() + RETRY_NANOS));
    if (open.move() != StopMove.PARK
        && turn.state().misses() >= MAX_MISSES
        && turn.state().armed()) {
      turn.say(new FaultRaised(code, text + ". See to it, then acknowledge."));
    }
  }

  /** Tells whether the pause after a refusal is over. */
  static boolean mayAskAgain(Turn turn) {
    long after = turn.senses().retryNanos();
    return after == Long.MIN_VALUE || turn.now.nanos() - after >= 0;
  }
}
