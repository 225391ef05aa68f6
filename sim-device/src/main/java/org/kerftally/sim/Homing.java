package org.kerftally.sim;

/**
 * Holds whether the drive knows where it is. Looking for the reference takes time and moves
 * nothing: the simulated drive finds it within its own encoder. The {@link Machine} owns it.
 */
final class Homing {
  private final long takesNanos;
  private boolean attained;
  private long dueNanos = Long.MAX_VALUE;

  Homing(long takesNanos) {
    this.takesNanos = takesNanos;
  }

  boolean isAttained() {
    return attained;
  }

  void lose() {
    attained = false;
    dueNanos = Long.MAX_VALUE;
  }

  /** Starts looking; does nothing when the reference is known. */
  void seek(long nowNanos) {
    if (!attained) {
      dueNanos = nowNanos + takesNanos;
    }
  }

  long nextNanos() {
    return dueNanos;
  }

  /** Tells whether the reference was found just now. */
  boolean advance(long nowNanos) {
    if (nowNanos < dueNanos) {
      return false;
    }
    attained = true;
    dueNanos = Long.MAX_VALUE;
    return true;
  }
}
