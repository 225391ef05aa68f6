package org.kerftally.protocol.quality;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/**
 * Holds the second leg of a move until the first is done.
 *
 * <p>It may go only while nothing has happened that an operator would want to look at first: one
 * look without every permit, with another boot, another cut count, a pause, another target or a
 * stop that stood still short of the turn, and it is spoiled for good. Then the stop stands where
 * it is, the station finds it short of its target, and the operator is asked.
 */
final class SecondLeg {

  /**
   * Less than a station waits before it calls a stop stalled: nothing moves after that by itself.
   */
  static final long STILL_NANOS = 5_000_000_000L;

  private final Target target;
  private final Length turn;
  private final Length window;
  private final DeviceSnapshot before;
  private boolean answered;
  private boolean taken;
  private Length position;
  private long movedNanos;

  /**
   * Holds a leg.
   *
   * @param target what the station asked for
   * @param turn where the first leg ends
   * @param window how far a stop that stands still may read from one look to the next
   * @param before the device as it was when the first leg was sent
   */
  SecondLeg(Target target, Length turn, Length window, DeviceSnapshot before, long nowNanos) {
    this.target = target;
    this.turn = turn;
    this.window = window;
    this.before = before;
    this.position = before.position();
    this.movedNanos = nowNanos;
  }

  /** Returns what the station asked for. */
  Target target() {
    return target;
  }

  /** Notes that the device took the first leg. */
  void answered(long nowNanos) {
    answered = true;
    movedNanos = nowNanos;
  }

  /** Looks at the device; returns why the leg is spoiled, {@code null} as long as it is not. */
  @Nullable String look(DeviceSnapshot now, long nowNanos) {
    long first = DeviceNumbers.firstLeg(target.seq());
    if (!now.boot().equals(before.boot())) {
      return "the device was powered up anew";
    }
    if (!now.permitsMove()) {
      return "a permit was gone";
    }
    if (now.cutCount() != before.cutCount()) {
      return "the saw made a cycle";
    }
    if (now.panel().paused()) {
      return "it was paused at the machine";
    }
    taken |= now.activeSequence() == first;
    if (now.activeSequence() != (taken ? first : before.activeSequence())) {
      return "the device holds another target, " + now.activeSequence();
    }
    if (nowNanos - movedNanos > STILL_NANOS) {
      return "the stop stood still short of its turn";
    }
    if (now.position().minus(position).abs().isMoreThan(window)) {
      position = now.position();
      movedNanos = nowNanos;
    }
    return null;
  }

  /**
   * Tells whether the first leg is done: the device says so, of this leg, and reads nearer to the
   * turn than to the target. Not how near: the turn need not be exact, and a device with a window
   * of its own would wait here for ever.
   */
  boolean isDue(DeviceSnapshot now) {
    Length off = now.position().minus(turn).abs();
    return answered
        && taken
        && now.activeSequence() == DeviceNumbers.firstLeg(target.seq())
        && now.targetReached()
        && off.times(2).isLessThan(turn.minus(target.position()).abs());
  }
}
