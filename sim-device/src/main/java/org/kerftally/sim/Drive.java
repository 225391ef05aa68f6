package org.kerftally.sim;

import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Holds the stop: where it stands, where it goes, and the target it was given last.
 *
 * <p>A halt is dead: the stop stands at once where it was. It never takes a move up again, for a
 * halted target is over; the sequence number stays the active one all the same, until another
 * target is accepted or the power goes. A new target during a move starts from rest where the stop
 * is.
 *
 * <p>Threading: none; the {@link Machine} owns it.
 */
final class Drive {
  private final MotionProfile profile;
  private final Length travelMin;
  private final Length travelMax;
  private final SplittableRandom random;

  private Length position;
  private @Nullable Move move;
  private @Nullable Length target;
  private long activeSequence;
  private long highestSequence;
  private boolean reached;
  private boolean halted;

  private record Move(Length from, Length to, long startNanos, long endNanos) {}

  Drive(SimConfig config, SplittableRandom random) {
    this.profile = config.motion();
    this.travelMin = config.travelMin();
    this.travelMax = config.travelMax();
    this.random = random;
    this.position = config.travelMin();
  }

  long activeSequence() {
    return activeSequence;
  }

  @Nullable Length target() {
    return target;
  }

  boolean isMoving() {
    return move != null;
  }

  boolean isReached() {
    return reached;
  }

  Length position(long nowNanos) {
    Move current = move;
    if (current == null) {
      return position;
    }
    Length way = current.to.minus(current.from);
    Length there =
        current.from.plus(profile.travelled(way, nowNanos - current.startNanos)).max(travelMin);
    return profile.rounded(there.min(travelMax));
  }

  /** Tells whether this target is the active one and was not halted. */
  boolean holds(Length wanted, long seq) {
    return seq == activeSequence && wanted.equals(target) && !halted;
  }

  /** Returns why a target cannot be taken, or {@code null} when it can. */
  @Nullable String objection(Length wanted, long seq) {
    if (seq <= highestSequence) {
      return "sequence " + seq + " is not above " + highestSequence + ", the highest accepted";
    }
    if (wanted.isLessThan(travelMin) || wanted.isMoreThan(travelMax)) {
      return wanted + " is outside the travel of " + travelMin + " to " + travelMax;
    }
    return null;
  }

  void accept(Length wanted, long seq, long nowNanos) {
    Length from = position(nowNanos);
    Length rest = restFor(wanted);
    activeSequence = seq;
    highestSequence = seq;
    target = wanted;
    reached = false;
    halted = false;
    position = from;
    move = new Move(from, rest, nowNanos, nowNanos + profile.moveNanos(rest.minus(from)));
  }

  private Length restFor(Length wanted) {
    long spread = profile.repeatability().nm();
    Length off = Length.ofNm(random.nextLong(-spread, spread + 1));
    return profile.rounded(wanted.plus(off).max(travelMin).min(travelMax));
  }

  /** Stops a move where it is; the target stays active and is never reached. */
  void halt(long nowNanos) {
    if (move != null) {
      position = position(nowNanos);
      move = null;
      halted = true;
    }
  }

  /** Forgets the target, as a power-up does. */
  void forgetTarget() {
    move = null;
    target = null;
    activeSequence = 0;
    highestSequence = 0;
    reached = false;
    halted = false;
  }

  long nextNanos() {
    return move == null ? Long.MAX_VALUE : move.endNanos;
  }

  void advance(long nowNanos) {
    Move current = move;
    if (current == null || nowNanos < current.endNanos) {
      return;
    }
    position = current.to;
    move = null;
    Length wanted = target;
    reached = wanted != null && !position.minus(wanted).abs().isMoreThan(profile.window());
  }
}
