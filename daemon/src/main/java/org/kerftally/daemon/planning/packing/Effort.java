package org.kerftally.daemon.planning.packing;

import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;

/**
 * Meters how long a search goes on: until somebody outside says stop, or its own units of work are
 * used up, whichever is first.
 *
 * <p>A unit is about a nanosecond of plain arithmetic, counted, never measured, so that a search
 * that nobody stops does the same every time. Once spent it stays spent. Not thread-safe.
 */
public final class Effort {

  private static final long UNITS_BETWEEN_POLLS = 50_000;

  private final BooleanSupplier stop;
  private final @Nullable Effort whole;
  private long unitsLeft;
  private long nextPoll;
  private boolean stopped;

  private Effort(BooleanSupplier stop, @Nullable Effort whole, long units) {
    this.stop = stop;
    this.whole = whole;
    this.unitsLeft = units;
    this.nextPoll = units;
  }

  /** Starts a meter that allows so many units of work. */
  public Effort(BooleanSupplier stop, long units) {
    this(stop, null, units);
  }

  /** Returns a meter that never ends, for work that must be done. */
  static Effort endless() {
    return new Effort(() -> false, Long.MAX_VALUE);
  }

  /** Returns a meter for a part of the work that takes from this one and has its own limit. */
  public Effort part(long units) {
    return new Effort(() -> false, this, units);
  }

  /** Notes work done and tells whether there is an end of it. */
  public boolean spend(long units) {
    unitsLeft -= units;
    boolean wholeSpent = whole != null && whole.spend(units);
    if (!stopped && (wholeSpent || unitsLeft <= 0 || (unitsLeft <= nextPoll && poll()))) {
      stopped = true;
    }
    return stopped;
  }

  /** Tells whether there is an end of it. */
  public boolean spent() {
    return spend(1);
  }

  private boolean poll() {
    nextPoll = unitsLeft - UNITS_BETWEEN_POLLS;
    return stop.getAsBoolean();
  }
}
