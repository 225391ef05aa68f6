package org.kerftally.daemon.station;

import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationState.Counted;
import org.kerftally.daemon.station.StationState.OpenMove;
import org.kerftally.daemon.station.StationState.OpenTarget;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.BootSeen;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.TargetAccepted;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.length.Length;

/**
 * Books saw cycles: each once, under the key (station, boot, count), and never as more than is
 * known.
 *
 * <p>The device's counter is the only truth about how many cycles there were; its last cut is the
 * only truth about which target one of them belonged to. Since no new target is sent before the old
 * one's cut is booked, at most one of the cycles that happened unseen can belong to it, and the
 * last cut says whether it does. The others are booked as unattributed.
 *
 * <p>A power-up in between has five shapes, told apart by the last cut:
 *
 * <ul>
 *   <li>the last cut is of the old boot: the device has a memory and its count goes on;
 *   <li>the last cut is of another boot and its count is above ours: a boot between the two was
 *       missed, and its cycles are booked under its name;
 *   <li>the last cut is of another boot and its count is not above ours: it is an older one that
 *       was booked long ago, and the device's memory tells nothing new;
 *   <li>the last cut is of the new boot: cycles were made since; the count went on when it is above
 *       ours, else it began at zero;
 *   <li>there is none: the device forgot; its count as it stands is where booking begins, or ours
 *       where it went on.
 * </ul>
 */
final class CutBooking {

  /** How long count and last cut may disagree before the cycles are booked without it. */
  private static final long PATIENCE_NANOS = 5_000_000_000L;

  /** More cycles than a saw makes in a day: beyond it the counter itself is in doubt. */
  private static final long MAX_BLIND = 10_000;

  static final String COUNT_FELL = "count-fell";
  static final String COUNT_JUMPED = "count-jumped";

  private CutBooking() {}

  /** Books what the snapshot counts and is not booked yet. */
  static void settle(Turn turn, DeviceSnapshot snapshot) {
    Counted counted = turn.state().counted();
    if (counted == null) {
      turn.say(seen(snapshot, snapshot.cutCount()));
      return;
    }
    if (!counted.boot().equals(snapshot.boot())) {
      powerUp(turn, snapshot, counted);
      counted = Objects.requireNonNull(turn.state().counted());
    }
    long delta = snapshot.cutCount() - counted.count();
    boolean fits = delta >= 0 && (delta == 0 || lastFits(snapshot));
    if (fits) {
      turn.sense(turn.senses().puzzledSince(null));
      if (turn.state().faults().containsKey(COUNT_FELL)) {
        turn.say(new FaultCleared(COUNT_FELL));
      }
      if (delta > 0) {
        book(turn, snapshot.boot(), snapshot.cutCount(), snapshot.lastCut());
      }
    } else if (patienceIsOver(turn)) {
      if (delta > 0) {
        book(turn, snapshot.boot(), snapshot.cutCount(), null);
      } else if (!turn.state().faults().containsKey(COUNT_FELL)) {
        turn.say(
            new FaultRaised(
                COUNT_FELL,
                "The device's cut count fell from "
                    + counted.count()
                    + " to "
                    + snapshot.cutCount()
                    + " without a power-up. Switch the positioner off and on."));
      }
    }
  }

  /** Books a cycle that the device reported by itself. */
  static void report(Turn turn, LastCut cut) {
    Counted counted = turn.state().counted();
    if (counted != null && counted.boot().equals(cut.boot()) && cut.count() > counted.count()) {
      book(turn, cut.boot(), cut.count(), cut);
    }
  }

  private static boolean lastFits(DeviceSnapshot snapshot) {
    LastCut last = snapshot.lastCut();
    return last == null
        || (last.boot().equals(snapshot.boot()) && last.count() == snapshot.cutCount());
  }

  private static boolean patienceIsOver(Turn turn) {
    Long since = turn.senses().sinceNanos();
    if (since == null) {
      turn.sense(turn.senses().puzzledSince(turn.now.nanos()));
      return false;
    }
    return turn.now.nanos() - since > PATIENCE_NANOS;
  }

  private static void powerUp(Turn turn, DeviceSnapshot snapshot, Counted old) {
    LastCut last = snapshot.lastCut();
    long from;
    if (last != null && last.boot().equals(old.boot())) {
      if (last.count() > old.count()) {
        book(turn, old.boot(), last.count(), last);
      }
      from = Math.max(last.count(), old.count());
    } else if (last != null && !last.boot().equals(snapshot.boot()) && last.count() > old.count()) {
      book(turn, last.boot(), last.count(), last);
      from = last.count();
    } else if (snapshot.cutCount() > old.count()
        || (snapshot.cutCount() == old.count() && !isOf(snapshot.boot(), last))) {
      from = old.count();
    } else {
      from = last == null ? snapshot.cutCount() : 0;
    }
    turn.say(seen(snapshot, Math.min(from, snapshot.cutCount())));
  }

  private static boolean isOf(String boot, @Nullable LastCut last) {
    return last != null && last.boot().equals(boot);
  }

  /** Presses made before the boot was met do not count: they answered nothing of ours. */
  private static BootSeen seen(DeviceSnapshot snapshot, long from) {
    LastCut last = snapshot.lastCut();
    long floor = Math.max(snapshot.activeSequence(), last == null ? 0 : last.seq());
    OperatorPanel p = snapshot.panel();
    OperatorPanel taken =
        new OperatorPanel(
            p.stickLoaded(), null, p.rejected(), p.defects(), null, p.acknowledged(), p.paused());
    return new BootSeen(snapshot.boot(), from, floor, taken);
  }

  /**
   * Books everything after the booked count up to {@code upTo}; {@code last} describes that one.
   */
  private static void book(Turn turn, String boot, long upTo, @Nullable LastCut last) {
    Counted counted = Objects.requireNonNull(turn.state().counted());
    long first = counted.count() + 1;
    long lastBlind = last == null ? upTo : upTo - 1;
    if (lastBlind - first >= MAX_BLIND) {
      turn.say(
          new FaultRaised(
              COUNT_JUMPED,
              "The device's cut count jumped from "
                  + counted.count()
                  + " to "
                  + upTo
                  + ". The cycles between are not listed one by one. Check its counter."));
      first = lastBlind;
    }
    for (long count = first; count <= lastBlind; count++) {
      turn.say(
          blank(boot, count, CutKind.UNATTRIBUTED, 0, null, "counted by the device while unseen"));
    }
    if (last != null) {
      CutBooked cut = judge(turn, last);
      turn.say(cut);
      voidWhatNoLongerFits(turn, cut);
    }
  }

  /**
   * A cut that was no part took something off the stick; the target that was set meanwhile was
   * reckoned from the stick as it was before.
   */
  private static void voidWhatNoLongerFits(Turn turn, CutBooked cut) {
    OpenTarget open = turn.state().target();
    if (open != null && cut.kind() == CutKind.SUSPECT && cut.left() != null) {
      turn.say(
          new TargetVoided(
              open.set().seq(), "a cut before it, which was no part, made the stick shorter"));
    }
  }

  private static CutBooked judge(Turn turn, LastCut cut) {
    OpenTarget open = turn.state().target();
    if (open != null && cut.seq() == open.set().seq()) {
      if (!open.answered()) {
        turn.say(new TargetAccepted(cut.seq()));
      }
      return Attribution.onTarget(turn, cut, open);
    }
    OpenTarget dropped = turn.state().dropped();
    if (dropped != null && cut.seq() == dropped.set().seq()) {
      return Attribution.onDropped(turn, cut, dropped);
    }
    OpenMove move = turn.state().move();
    if (move != null && cut.seq() == move.set().seq()) {
      if (!move.over() && !move.answered()) {
        turn.say(new TargetAccepted(cut.seq()));
      }
      return Attribution.onMove(turn, cut, move.set());
    }
    String remark =
        cut.seq() == 0
            ? "no target was active"
            : "target " + cut.seq() + " was cut already or is not known here";
    return blank(cut.boot(), cut.count(), CutKind.SUSPECT, cut.seq(), cut, remark);
  }

  private static CutBooked blank(
      String boot, long count, CutKind kind, long seq, @Nullable LastCut cut, String remark) {
    Length position = cut == null ? null : cut.position();
    return new CutBooked(
        boot,
        count,
        kind,
        seq,
        null,
        null,
        0,
        null,
        null,
        position,
        cut == null ? null : cut.at(),
        remark,
        null);
  }
}
