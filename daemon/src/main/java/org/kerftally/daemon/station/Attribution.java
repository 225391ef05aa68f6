package org.kerftally.daemon.station;

import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationState.OpenTarget;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;

/**
 * Judges a saw cycle that belongs to a target: a part, a squaring cut, or suspect; and works out
 * what it left of the stick.
 *
 * <p>Within the window the planned lengths are taken as made, so that a row of cuts does not gather
 * rounding; outside it the reported position tells what the blade took.
 */
final class Attribution {

  private Attribution() {}

  static CutBooked onTarget(Turn turn, LastCut cut, OpenTarget open) {
    if (cut.turning()) {
      return booked(
          turn, cut, open.set(), CutKind.SUSPECT, "the stop was only to turn on its way there");
    }
    Length off = cut.position().minus(open.set().position());
    if (off.abs().isMoreThan(turn.rules.window())) {
      return booked(
          turn, cut, open.set(), CutKind.SUSPECT, "the stop stood " + off + " off its target");
    }
    CutKind kind = open.set().part() == null ? CutKind.TRIM : CutKind.PART;
    return booked(turn, cut, open.set(), kind, null);
  }

  static CutBooked onDropped(Turn turn, LastCut cut, OpenTarget dropped) {
    return booked(turn, cut, dropped.set(), CutKind.SUSPECT, "its target was void by then");
  }

  /**
   * Judges a cycle made where the stop stood, or was going, without anything to be cut there. What
   * lay in the saw then is taken to have lain against the stop.
   */
  static CutBooked onMove(Turn turn, LastCut cut, MoveSet set) {
    JobRun run = turn.state().run();
    StickInSaw stick = run == null ? null : run.stick();
    String remark =
        set.move() == StopMove.PARK
            ? "the stop was on its way to its park position or stood there"
            : "the stop had retracted or was retracting";
    Length left = null;
    if (stick != null) {
      CutRules rules = turn.rules.rulesFor(stick.planned().material());
      left = leftByPosition(turn.rules, rules, stick, cut).max(Length.ZERO);
    }
    return new CutBooked(
        cut.boot(),
        cut.count(),
        CutKind.SUSPECT,
        cut.seq(),
        run == null ? set.job() : run.order().id(),
        null,
        stick == null ? 0 : stick.number(),
        null,
        null,
        cut.position(),
        cut.at(),
        remark,
        left);
  }

  private static CutBooked booked(
      Turn turn, LastCut cut, TargetSet set, CutKind kind, @Nullable String remark) {
    StickInSaw stick = Objects.requireNonNull(turn.run().stick(), "a target without a stick");
    CutRules rules = turn.rules.rulesFor(stick.planned().material());
    Length made = madeLength(turn.rules, rules, stick, set, cut);
    Length left =
        kind == CutKind.SUSPECT
            ? leftByPosition(turn.rules, rules, stick, cut)
            : leftAsPlanned(rules, stick, set);
    return new CutBooked(
        cut.boot(),
        cut.count(),
        kind,
        cut.seq(),
        set.job(),
        set.part(),
        set.stick(),
        set.wanted(),
        made,
        cut.position(),
        cut.at(),
        remark,
        left.max(Length.ZERO));
  }

  private static Length leftAsPlanned(CutRules rules, StickInSaw stick, TargetSet set) {
    return set.part() == null
        ? stick.left().minus(stick.planned().leadTrim())
        : stick.left().minus(set.wanted()).minus(rules.kerf());
  }

  private static Length leftByPosition(
      StationRules station, CutRules rules, StickInSaw stick, LastCut cut) {
    Length at = station.calibration().toLength(cut.position());
    return station.layout() == Layout.INFEED_PUSHER
        ? at.min(stick.left())
        : stick.left().minus(at).minus(rules.kerf());
  }

  /** The part's length, or what the squaring cut took, as the position tells. */
  private static Length madeLength(
      StationRules station, CutRules rules, StickInSaw stick, TargetSet set, LastCut cut) {
    Length at = station.calibration().toLength(cut.position());
    boolean squaring = set.part() == null;
    if (station.layout() == Layout.OUTFEED_STOP) {
      return squaring ? set.wanted() : at;
    }
    Length last = stick.lastPosition();
    Length before = last == null ? stick.left() : station.calibration().toLength(last);
    Length taken = before.minus(at);
    return squaring ? taken : taken.minus(rules.kerf());
  }
}
