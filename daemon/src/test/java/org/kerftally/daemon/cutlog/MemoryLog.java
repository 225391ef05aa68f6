package org.kerftally.daemon.cutlog;

import java.time.Clock;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.CutBooked;

/**
 * Keeps events in memory as {@link CutLog} keeps them on disk: all of an append or none, in order,
 * each saw cycle once. It outlives the service that writes to it. It can refuse appends as a full
 * disk does, and the power can fail in the middle of one. For one thread.
 */
public final class MemoryLog implements EventLog {

  /** Says that the process is gone at this point. */
  public static final class Gone extends RuntimeException {
    private static final long serialVersionUID = 1L;

    /** Makes one without a stack trace, since it is no fault. */
    public Gone() {
      super("the process is gone", null, false, false);
    }
  }

  /** Says what becomes of the next append. */
  public enum Fate {
    /** It is written. */
    WRITTEN,
    /** The disk is full. */
    REFUSED,
    /** The process ends before anything is on disk. */
    DIES_BEFORE,
    /** The process ends when all is on disk and before anybody is told. */
    DIES_AFTER
  }

  private final Clock clock;
  private final boolean booksEachCycleOnce;
  private final List<Recorded> events = new ArrayList<>();
  private final Set<String> cycles = new HashSet<>();
  private @Nullable Consumer<Recorded> subscriber;
  private Fate fate = Fate.WRITTEN;

  /**
   * Makes an empty log.
   *
   * @param clock tells when an event is written
   * @param booksEachCycleOnce whether it refuses a saw cycle that it holds, as the real one does
   */
  public MemoryLog(Clock clock, boolean booksEachCycleOnce) {
    this.clock = clock;
    this.booksEachCycleOnce = booksEachCycleOnce;
  }

  /** Decides over the appends from now on; a death comes to pass once. */
  public void fate(Fate next) {
    fate = next;
  }

  /** Tells every event appended from now on to this subscriber alone, after it is on disk. */
  public void tell(@Nullable Consumer<Recorded> next) {
    subscriber = next;
  }

  /** Returns what is on disk. */
  public List<Recorded> events() {
    return events;
  }

  @Override
  public List<Recorded> append(@Nullable String station, List<? extends Event> appended) {
    Fate now = fate;
    if (now == Fate.REFUSED) {
      throw new CutLogException("cannot write the cut log: the disk is full", null, true);
    }
    if (now == Fate.DIES_BEFORE) {
      fate = Fate.WRITTEN;
      throw new Gone();
    }
    List<Recorded> recorded = new ArrayList<>();
    for (Event event : appended) {
      if (booksEachCycleOnce && event instanceof CutBooked cut && !cycles.add(key(station, cut))) {
        throw new IllegalStateException("booked already: " + cut);
      }
      recorded.add(
          new Recorded(events.size() + recorded.size() + 1, clock.instant(), station, event));
    }
    events.addAll(recorded);
    if (now == Fate.DIES_AFTER) {
      fate = Fate.WRITTEN;
      throw new Gone();
    }
    Consumer<Recorded> told = subscriber;
    if (told != null) {
      recorded.forEach(told);
    }
    return recorded;
  }

  private static String key(@Nullable String station, CutBooked cut) {
    return station + "#" + cut.boot() + "#" + cut.count();
  }
}
