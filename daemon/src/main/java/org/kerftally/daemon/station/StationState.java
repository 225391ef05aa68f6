package org.kerftally.daemon.station;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.length.Length;

/**
 * Holds all that a station remembers: the fold of its events and nothing else.
 *
 * @param driven whether the service drives the station now
 * @param linkUp whether the link is live
 * @param armed whether the operator has acknowledged since the last start, reconnect, power-up or
 *     fault; without it nothing moves
 * @param alarm whether a fault came up that was not acknowledged yet
 * @param paused whether the pause switch is on
 * @param counted the device's boot and the count up to which cuts are booked, or {@code null}
 *     before the device was met
 * @param panel the presses taken so far
 * @param lastSeq the highest sequence number used or seen
 * @param faults the standing faults, text by code, oldest first
 * @param queue the jobs that wait, in the order they came
 * @param run the job being cut, or {@code null}
 * @param target the target that is neither cut nor void, or {@code null}
 * @param dropped the last target that became void without a cut, or {@code null}
 * @param lastMade the last good part, or {@code null} where it cannot be rejected (any more)
 * @param misses targets refused or unanswered in a row
 * @param offcuts how many offcuts were kept so far
 * @param ended the job that ended last, or {@code null}
 * @param owed jobs that ended and of which a piece was rejected while another job was being cut
 * @param move the last move to where nothing is cut, or {@code null} before the first
 * @param cutAt where the stop stood at the cut whose piece may still lie at it, as a device
 *     position, or {@code null} when it has moved since or the station was disarmed
 * @param parked whether the stop was sent to its park position after the last target
 */
public record StationState(
    boolean driven,
    boolean linkUp,
    boolean armed,
    boolean alarm,
    boolean paused,
    @Nullable Counted counted,
    OperatorPanel panel,
    long lastSeq,
    Map<String, String> faults,
    List<StationEvent.JobQueued> queue,
    @Nullable JobRun run,
    @Nullable OpenTarget target,
    @Nullable OpenTarget dropped,
    @Nullable MadePart lastMade,
    int misses,
    long offcuts,
    @Nullable JobRun ended,
    List<JobRun> owed,
    @Nullable OpenMove move,
    @Nullable Length cutAt,
    boolean parked) {

  /** The state before any event. */
  public static final StationState EMPTY =
      new StationState(
          false,
          false,
          false,
          false,
          false,
          null,
          OperatorPanel.UNTOUCHED,
          0,
          Map.of(),
          List.of(),
          null,
          null,
          null,
          null,
          0,
          0,
          null,
          List.of(),
          null,
          null,
          false);

  /**
   * Says up to where the device's cuts are booked.
   *
   * @param boot its power-up
   * @param count the last count booked
   */
  public record Counted(String boot, long count) {}

  /**
   * Holds a target that was set.
   *
   * @param set the target as written to the log
   * @param answered whether the device took it
   */
  public record OpenTarget(TargetSet set, boolean answered) {}

  /**
   * Holds a move to where nothing is cut. It is kept when it is over, to know a stroke that was
   * made where the stop stood by it.
   *
   * @param set the move as written to the log
   * @param answered whether the device took it
   * @param over whether it is done, refused, void, or ended by a stroke
   */
  public record OpenMove(MoveSet set, boolean answered, boolean over) {
    OpenMove taken() {
      return new OpenMove(set, true, over);
    }

    OpenMove ended() {
      return new OpenMove(set, answered, true);
    }
  }

  /** Returns the move that is neither done nor void, {@code null} for none. */
  public @Nullable OpenMove moving() {
    OpenMove last = move;
    return last == null || last.over() ? null : last;
  }

  /**
   * Names a good part that the operator can still reject.
   *
   * @param boot the boot of its cut, or {@code null} for a piece that remained
   * @param count the count of its cut, 0 for a piece that remained
   * @param job the job's id
   * @param key which part it is
   */
  record MadePart(@Nullable String boot, long count, String job, PartKey key) {}

  /** Returns a changed copy. */
  StationState change(Consumer<Change> edit) {
    Change change = new Change(this);
    edit.accept(change);
    return change.done();
  }

  /** Collects changes to a state; lives only within {@link #change}. */
  static final class Change {
    boolean driven;
    boolean linkUp;
    boolean armed;
    boolean alarm;
    boolean paused;
    @Nullable Counted counted;
    OperatorPanel panel;
    long lastSeq;
    final Map<String, String> faults;
    final List<StationEvent.JobQueued> queue;
    @Nullable JobRun run;
    @Nullable OpenTarget target;
    @Nullable OpenTarget dropped;
    @Nullable MadePart lastMade;
    int misses;
    long offcuts;
    @Nullable JobRun ended;
    final List<JobRun> owed;
    @Nullable OpenMove move;
    @Nullable Length cutAt;
    boolean parked;

    private Change(StationState s) {
      driven = s.driven;
      linkUp = s.linkUp;
      armed = s.armed;
      alarm = s.alarm;
      paused = s.paused;
      counted = s.counted;
      panel = s.panel;
      lastSeq = s.lastSeq;
      faults = new LinkedHashMap<>(s.faults);
      queue = new ArrayList<>(s.queue);
      run = s.run;
      target = s.target;
      dropped = s.dropped;
      lastMade = s.lastMade;
      misses = s.misses;
      offcuts = s.offcuts;
      ended = s.ended;
      owed = new ArrayList<>(s.owed);
      move = s.move;
      cutAt = s.cutAt;
      parked = s.parked;
    }

    /** Lets nothing move until the next acknowledge, and forgets what was owed to the last cut. */
    void disarm() {
      armed = false;
      cutAt = null;
    }

    /** Returns the last move to where nothing is cut when the number is its own. */
    @Nullable OpenMove moveOf(long seq) {
      OpenMove last = move;
      return last != null && seq != 0 && last.set().seq() == seq ? last : null;
    }

    private StationState done() {
      return new StationState(
          driven,
          linkUp,
          armed,
          alarm,
          paused,
          counted,
          panel,
          lastSeq,
          java.util.Collections.unmodifiableMap(faults),
          List.copyOf(queue),
          run,
          target,
          dropped,
          lastMade,
          misses,
          offcuts,
          ended,
          List.copyOf(owed),
          move,
          cutAt,
          parked);
    }
  }

  /** Returns the length of stick that is in the saw, zero for none. */
  Length leftInSaw() {
    JobRun current = run;
    StickInSaw stick = current == null ? null : current.stick();
    return stick == null ? Length.ZERO : stick.left();
  }
}
