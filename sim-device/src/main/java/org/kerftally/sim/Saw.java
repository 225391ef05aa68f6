package org.kerftally.sim;

import org.kerftally.shared.device.SawState;

/**
 * Steps the saw through its cycle: guard down, blade up, blade down, guard up.
 *
 * <p>A cycle counts when the blade reaches the top of its stroke, for then the piece is parted: a
 * cycle that is broken off earlier leaves a kerf and no piece, and one that is broken off later has
 * made its piece whatever the blade does next. Breaking off sends the blade back and lifts the
 * guard; it never skips either.
 *
 * <p>Threading: none; the {@link Machine} owns it.
 */
final class Saw {
  private enum Phase {
    IDLE,
    GUARD_LOWERING,
    BLADE_RISING,
    BLADE_FALLING,
    GUARD_RISING
  }

  /** Says what a step of the cycle amounts to for the machine. */
  enum Step {
    /** Nothing beyond the state. */
    NONE,
    /** The blade is at the top: one more cut. */
    CUT,
    /** The guard did not close; it goes up again. */
    GUARD_FAILED
  }

  private Phase phase = Phase.IDLE;
  private long phaseEndNanos = Long.MAX_VALUE;
  private SawCycle cycle = SawCycle.STANDARD;
  private boolean guardStuck;
  private boolean doubleStroke;

  SawState state() {
    return switch (phase) {
      case IDLE -> SawState.IDLE;
      case GUARD_LOWERING, GUARD_RISING -> SawState.GUARD_DOWN;
      case BLADE_RISING, BLADE_FALLING -> SawState.BLADE_OUT;
    };
  }

  boolean isIdle() {
    return phase == Phase.IDLE;
  }

  void stickGuard() {
    guardStuck = true;
  }

  void makeNextDouble() {
    doubleStroke = true;
  }

  void start(SawCycle with, long nowNanos) {
    if (!isIdle()) {
      throw new IllegalStateException("the saw is not idle: " + phase);
    }
    cycle = with;
    enter(Phase.GUARD_LOWERING, nowNanos);
  }

  /** Breaks a cycle off: a blade that is out goes in, then the guard goes up. */
  void abort(long nowNanos) {
    doubleStroke = false;
    switch (phase) {
      case GUARD_LOWERING -> enter(Phase.GUARD_RISING, nowNanos);
      case BLADE_RISING -> enter(Phase.BLADE_FALLING, nowNanos);
      case IDLE, BLADE_FALLING, GUARD_RISING -> {}
    }
  }

  /** Puts blade and guard where their springs put them without power. */
  void losePower() {
    phase = Phase.IDLE;
    phaseEndNanos = Long.MAX_VALUE;
    guardStuck = false;
    doubleStroke = false;
  }

  long nextNanos() {
    return phaseEndNanos;
  }

  Step advance(long nowNanos) {
    if (nowNanos < phaseEndNanos) {
      return Step.NONE;
    }
    switch (phase) {
      case GUARD_LOWERING -> {
        if (guardStuck) {
          guardStuck = false;
          doubleStroke = false;
          enter(Phase.GUARD_RISING, nowNanos);
          return Step.GUARD_FAILED;
        }
        enter(Phase.BLADE_RISING, nowNanos);
      }
      case BLADE_RISING -> {
        enter(Phase.BLADE_FALLING, nowNanos);
        return Step.CUT;
      }
      case BLADE_FALLING -> enter(Phase.GUARD_RISING, nowNanos);
      case GUARD_RISING -> {
        enter(doubleStroke ? Phase.GUARD_LOWERING : Phase.IDLE, nowNanos);
        doubleStroke = false;
      }
      case IDLE -> throw new IllegalStateException("an idle saw has nothing due");
    }
    return Step.NONE;
  }

  private void enter(Phase next, long nowNanos) {
    phase = next;
    phaseEndNanos =
        switch (next) {
          case IDLE -> Long.MAX_VALUE;
          case GUARD_LOWERING -> nowNanos + cycle.guardDown().toNanos();
          case BLADE_RISING -> nowNanos + cycle.bladeUp().toNanos();
          case BLADE_FALLING -> nowNanos + cycle.bladeDown().toNanos();
          case GUARD_RISING -> nowNanos + cycle.guardUp().toNanos();
        };
  }
}
